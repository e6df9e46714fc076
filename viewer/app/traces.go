package app

import (
	"slices"
	"sort"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// TraceID and a channel's column make the id of its figure.
const TraceID = "trace-"

// lineKey names the traces of one channel in one session.
type lineKey struct {
	session string
	channel trial.Channel
	unit    string
}

// RecordedChannels lists the channels that the session shown has recordings of.
func (m *Model) RecordedChannels() []trial.Channel {
	s := m.Session()
	if s == nil {
		return nil
	}
	var channels []trial.Channel
	for channel, source := range steady.Sources(m.Dataset.Facts.Method, m.recordings[s.ID]) {
		if source != nil {
			channels = append(channels, trial.Channel(channel))
		}
	}
	return channels
}

// Channels lists the channels in view: the chosen ones, or those that decide.
func (m *Model) Channels() []trial.Channel {
	if m.choice.Channels != nil {
		return m.choice.Channels
	}
	return m.decidingChannels()
}

// effortChannel is the channel that tells how an effort was held.
var effortChannel = map[trial.Effort]trial.Channel{trial.Power: trial.PowerW, trial.Pace: trial.SpeedMps,
	trial.HeartRate: trial.HeartRateBpm}

// decidingChannels lists the channel that was held and the one that is compared.
func (m *Model) decidingChannels() []trial.Channel {
	s := m.Session()
	if s == nil {
		return nil
	}
	channels := []trial.Channel{effortChannel[s.Effort()]}
	if c, known := trial.ChannelNamed(m.PrimaryOutcome(s).Info().Column); known {
		channels = withChannel(channels, c, true)
	}
	return channels
}

// PrimaryOutcome returns the outcome that decides at a session's effort.
func (m *Model) PrimaryOutcome(s *trial.Session) trial.Outcome {
	return compare.Primary(m.Dataset.Facts.Method, s.Effort())
}

// Trace returns the figure of one channel of the session shown; ok is false
// when it was not recorded.
func (m *Model) Trace(channel trial.Channel) (trace figure.Trace, ok bool) {
	s := m.Session()
	if s == nil {
		return figure.Trace{}, false
	}
	lines, ok := m.traceLines(s, channel)
	if !ok {
		return figure.Trace{}, false
	}
	info := channel.Info()
	trace = figure.Trace{Axis: info.Label + ", " + m.Conversion(info.Unit).Unit, Span: m.Span()}
	trace.From, trace.To = m.Window(channel)
	trace.Head = figure.Head{
		ID: TraceID + info.Column, Title: info.Label + " in every block of " + s.ID,
		Desc: "One line for each block, drawn over each other from block start; the steady window is shaded.",
	}

	// The lines of the session shown come first.
	for _, other := range m.OverlaidSessions() {
		if lines, ok = m.traceLines(other, channel); !ok {
			continue
		}
		result := m.yours.Session(other.ID)
		for i, line := range lines {
			line.Excluded = !result.Blocks[i].Included
			trace.Lines = append(trace.Lines, line)
		}
	}
	return trace, true
}

// traceLines cuts a channel into its blocks in the unit that is shown.
func (m *Model) traceLines(s *trial.Session, channel trial.Channel) ([]figure.TraceLine, bool) {
	return m.linesInUnit(m.Conversion(channel.Info().Unit), s, channel)
}

// linesInUnit cuts a channel into its blocks, once for each unit; nothing is copied
// where that is the recording's own.
func (m *Model) linesInUnit(to units.Conversion, s *trial.Session, channel trial.Channel) ([]figure.TraceLine, bool) {
	key := lineKey{s.ID, channel, to.Unit}
	if lines, done := m.lines[key]; done {
		return lines, lines != nil
	}
	source := steady.Sources(m.Dataset.Facts.Method, m.recordings[s.ID])[channel]
	if source == nil {
		m.lines[key] = nil
		return nil, false
	}
	lines := make([]figure.TraceLine, len(s.Blocks))
	for i, b := range s.Blocks {
		lines[i] = blockLine(source, channel, b, m.ShoeIndex(b.Shoe))
		lines[i].Values = converted(lines[i].Values, to)
		lines[i].Gap = m.Dataset.Facts.Limits.GapS
	}
	m.lines[key] = lines
	return lines, true
}

func blockLine(r *trial.Recording, channel trial.Channel, b trial.Block, shoe int) figure.TraceLine {
	elapsed := r.Samples.Elapsed
	first := sort.SearchFloat64s(elapsed, b.Start-r.Offset())
	last := first
	line := figure.TraceLine{Shoe: shoe}
	for ; last < len(elapsed) && elapsed[last]+r.Offset() <= b.End; last++ {
		line.Seconds = append(line.Seconds, elapsed[last]+r.Offset()-b.Start)
	}
	line.Values = r.Samples.Values[channel][first:last]
	return line
}

// ShoeIndex returns a shoe's place in the register, which gives it its colour
// and letter; shoes that are not in it share the place after the last.
func (m *Model) ShoeIndex(id string) int {
	place := slices.IndexFunc(m.Dataset.Shoes, func(s trial.Shoe) bool { return s.ID == id })
	if place < 0 {
		return figure.NoShoe
	}
	return place
}

// ShoeLabel returns what a shoe goes by, see [compare.Labels].
func (m *Model) ShoeLabel(id string) string { return figure.Visible(m.label(id)) }

// Swatch returns the line and mark of a shoe, drawn once.
func (m *Model) Swatch(id string) string {
	place := m.ShoeIndex(id)
	if m.swatches[place] == "" {
		m.swatches[place] = string(figure.Swatch(place))
	}
	return m.swatches[place]
}
