package app

import (
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// TraceTable writes what a channel's figure shows as CSV: every sample in view of
// every block drawn over each other, in the recording's own unit, which stands in
// the heading.
func (m *Model) TraceTable(channel trial.Channel) []byte {
	info := channel.Info()
	from, to := m.View()
	text := []byte("session,block,shoe,counts,block_elapsed_s," + info.Column + "\n")
	for _, s := range m.OverlaidSessions() {
		result := m.yours.Session(s.ID)
		lines, _ := m.linesInUnit(units.Conversion{Unit: info.Unit}, s, channel)
		for i, line := range lines {
			counts := "no"
			if result.Blocks[i].Included {
				counts = "yes"
			}

			// Every sample in view.
			for j, at := range line.Seconds {
				if at < from || at > to {
					continue
				}
				for _, name := range []string{s.ID, s.Blocks[i].ID, s.Blocks[i].Shoe} {
					text = append(appendCell(text, name), ',')
				}
				text = append(append(text, counts...), ',')
				text = append(units.AppendDecimal(text, at, trial.ElapsedDecimals), ',')
				text = append(units.AppendDecimal(text, line.Values[j], info.Decimals), '\n')
			}
		}
	}
	return text
}

// appendCell writes a text as RFC 4180 has it.
func appendCell(dst []byte, text string) []byte {
	if !strings.ContainsAny(text, ",\"\r\n") {
		return append(dst, text...)
	}
	return append(dst, `"`+strings.ReplaceAll(text, `"`, `""`)+`"`...)
}
