package site

import (
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// estimateDecimals is the precision of differences on pages; the derived tables
// have more.
const estimateDecimals = answer.PercentDecimals

func estimateOf(c *compare.Comparison) figure.Estimate {
	return figure.Estimate{Value: c.Estimate, Low: c.Low, High: c.High}
}

// unitOf returns the unit of a difference in the outcome: percent for ratios.
func unitOf(o trial.Outcome) string {
	if o.Info().Ratio {
		return "%"
	}
	return o.Info().Unit
}

// difference writes an estimate with interval and unit.
func difference(e figure.Estimate, o trial.Outcome) string {
	return e.Words(estimateDecimals, unitOf(o))
}

// targetsOf says what a session held: "at 270 W", or several levels.
func targetsOf(session *trial.Session) string {
	return levels(session,
		func(target float64) string { return compare.AtLevel(trial.Level(session.Effort(), target)) })
}

// targetsPerMile says held paces per mile; "" where no pace was held.
func targetsPerMile(session *trial.Session) string {
	if session.Effort() != trial.Pace {
		return ""
	}
	return levels(session, func(target float64) string {
		if !units.Known(target) {
			return "no pace"
		}
		return units.FormatPace(units.Imperial("s/km").Of(target)) + " per mile"
	})
}

// minutes writes a length of time in seconds as people say it: "5 min", "5 min 30 s", "90 s";
// "" for a missing one.
func minutes(seconds float64) string {
	seconds = units.Round(seconds, 0)
	if !(seconds >= 120) {
		return quantity(seconds, 0, "s")
	}
	whole := math.Floor(seconds / 60)
	text := quantity(whole, 0, "min")
	if rest := seconds - float64(60*whole); rest > 0 {
		text += " " + quantity(rest, 0, "s")
	}
	return text
}

// levels lists the targets of a session's blocks in words, each once.
func levels(session *trial.Session, words func(target float64) string) string {
	var list []string
	for _, b := range session.Blocks {
		if at := words(b.Target); !slices.Contains(list, at) {
			list = append(list, at)
		}
	}
	return strings.Join(list, ", ")
}

// mean writes a block mean with the precision that a page needs.
func mean(o trial.Outcome, value float64) string {
	info := o.Info()
	switch {
	case o == trial.PacePerKm:
		return units.FormatPace(value)
	case info.Ratio:
		return figure.Plain(value, max(0, info.Decimals-1))
	}
	return figure.Plain(value, info.Decimals)
}

// heading names an outcome with its unit, as above a column of means.
func heading(o trial.Outcome) string {
	info := o.Info()
	if o == trial.PacePerKm {
		return "pace, min:s per km"
	}
	return info.Label + ", " + info.Unit
}

// clockChange writes a change of time with its sign.
func clockChange(seconds float64) string {
	text := strings.Replace(units.FormatClock(seconds), "-", "\u2212", 1)
	if seconds >= 0.5 {
		return "+" + text
	}
	return text
}

// quantity writes a number with its unit, without trailing zeros; "" when it is
// missing.
func quantity(x float64, decimals int, unit string) string {
	if !units.Known(x) {
		return ""
	}
	text := figure.Plain(x, decimals)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text + " " + unit
}

// fact is a line of a list of facts. Other is the value in the units of people who think in
// miles.
type fact struct{ Name, Value, Other string }

// factLine is a fact on a page; a long one takes the width of the page.
type factLine struct {
	fact
	Long bool
}

// longFact is how many letters stand beside another fact on a phone, in three lines.
const longFact = 40

// bothFact is a fact in both units.
func bothFact(name string, x float64, decimals int, unit string) fact {
	value, other := bothUnits(x, decimals, unit)
	return fact{name, value, other}
}

// withValues keeps the facts that have a value.
func withValues(facts ...fact) (lines []factLine) {
	for _, f := range facts {
		if f.Value != "" {
			lines = append(lines, factLine{f, utf8.RuneCountInString(f.Value) > longFact})
		}
	}
	return lines
}

// nonBreaking sets a sentence for a page: numbers and their units stay on one line,
// and a minus sign is one.
func nonBreaking(sentence string) string {
	words := strings.Split(sentence, " ")
	for i, word := range words {
		if len(word) > 1 && word[0] == '-' && word[1] >= '0' && word[1] <= '9' {
			words[i] = "\u2212" + word[1:]
		}
	}
	var b strings.Builder
	for i, word := range words {
		if i > 0 {
			unit := strings.TrimRight(word, ".,;:)")
			if last := words[i-1]; slices.Contains(keptWithNumber, unit) && last != "" && last[len(last)-1] >= '0' &&
				last[len(last)-1] <= '9' {
				b.WriteString("\u00a0")
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteString(word)
	}
	return b.String()
}

// keptWithNumber are the units that never start a line.
var keptWithNumber = []string{"%", "W", "bpm", "g", "km", "s", "min", "m/s"}
