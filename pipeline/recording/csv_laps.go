package recording

import (
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// lapWords are headings of a column that numbers laps, and durationWords those of how
// long each lasted.
var (
	lapWords      = []string{"lap", "laps", "lap_number", "lap_no", "lap_nr", "split", "interval", "runde"}
	durationWords = []string{"duration", "lap_time", "split_time", "moving_time", "elapsed_time", "total_time",
		"time", "elapsed_s", "seconds", "time_s", "duration_s"}
)

// maxLapRows is how many laps a table of laps may have.
const maxLapRows = 500

// kmBelow is the median below which a distance of a lap without a unit is in km: laps
// are some hundred metres at least. An engineering choice.
const kmBelow = 50

// maxLapsS is longer than all laps of a run together: more are times of day, or milliseconds. An
// engineering choice.
const maxLapsS = 4 * 86400

// isLapTable reports whether a table has one row for each lap: a column numbers them,
// and another one tells how long they lasted, by its name or as a person says.
func (t *table) isLapTable(o Options) bool {
	lengths := slices.ContainsFunc(t.headings, func(text string) bool { return isNamed(text, durationWords) })
	return t.numbersLaps() && (lengths || o.Columns[trial.ElapsedColumn] != "")
}

// numbersLaps reports whether a column numbers laps, by its heading.
func (t *table) numbersLaps() bool {
	return slices.ContainsFunc(t.headings, func(text string) bool { return isNamed(text, lapWords) })
}

// isNamed reports whether a heading, without its unit, is one of some words.
func isNamed(heading string, words []string) bool {
	name, _ := splitUnit(heading)
	return slices.Contains(words, plain(name))
}

// meaning is a heading without the words that say that it is a mean, where the rows of
// a table are laps.
func (t *table) meaning(text string) string {
	if !t.laps {
		return text
	}
	for _, mean := range []string{"average ", "avg. ", "avg ", "mean ", "average_", "avg_", "mean_"} {
		if len(text) > len(mean) && strings.EqualFold(text[:len(mean)], mean) {
			return text[len(mean):]
		}
	}
	return text
}

// fillFromLaps reads the rows as laps, one after the other: their means become those
// that a person may write into blocks.csv, and there are no samples. It reports whether
// the rows are laps: seconds that only count up, and days, are not.
func (imp *Import) fillFromLaps(t *table, rows []row) (bool, error) {
	if !t.laps || len(rows) == 0 || len(rows) > maxLapRows {
		return false, nil
	}
	// How long each lap lasted.
	var kept []row
	start := 0.0
	for i := range rows {
		text := strings.TrimSpace(rows[i].Elapsed.text)
		if missingWord(text) {
			continue
		}
		length, ok := foreignNumber(text, t.decimalComma())
		if strings.Contains(text, ":") {
			length, ok = colonSeconds(text)
		} else if t.elapsed.scale > 0 {
			length = float64(length * t.elapsed.scale)
		}
		if !ok {
			return true, t.badTime(rows[i].Line, *t.elapsed, text)
		}
		if length > 0 {
			kept = append(kept, rows[i])
			imp.Laps = append(imp.Laps, trial.Lap{StartS: start, EndS: start + length, DistanceM: units.Missing})
			start += length
		}
	}
	if n := len(kept) - 1; n > 1 && lastIsTotal(imp.Laps) {
		kept, imp.Laps = kept[:n], imp.Laps[:n]
		imp.drop("the last row, which sums up the laps")
	}
	if len(kept) < 1 || countsUpLaps(imp.Laps) || imp.Laps[len(imp.Laps)-1].EndS > maxLapsS {
		imp.Laps = nil
		return false, nil
	}
	// Their means, in the units of the channels.
	for _, lap := range imp.Laps {
		imp.Samples.Elapsed = append(imp.Samples.Elapsed, lap.StartS)
	}
	imp.Sources = append(imp.Sources, Source{Column: trial.ElapsedColumn, From: t.elapsed.from(),
		Conversion: "lengths of laps, one after the other", Values: len(kept)})
	for c := range trial.ChannelCount {
		chosen, ok := t.channels[c]
		if !ok {
			continue
		}
		column, err := t.column(c, chosen, kept)
		if err != nil {
			return true, err
		}
		if c == trial.DistanceM && column.unit == nil && median(column.values) < kmBelow {
			column.unit = unitNamed(c, "km")
			imp.warn("distance: %s states no unit; taken as km", column.from)
		}
		imp.take(column)
	}
	imp.moveMeans()
	return true, nil
}

// totalShare is by how much a row that sums up laps may miss the sum of their lengths, which
// are rounded.
const totalShare = 0.01

// lastIsTotal reports whether the last lap is as long as all before it together.
func lastIsTotal(laps []trial.Lap) bool {
	last := laps[len(laps)-1]
	sum, length := last.StartS-laps[0].StartS, last.EndS-last.StartS
	return math.Abs(length-sum) <= float64(totalShare*sum)
}

// countsUpLaps reports whether the lengths of laps are really seconds that count up.
func countsUpLaps(laps []trial.Lap) bool {
	lengths := make([]float64, len(laps))
	for i, lap := range laps {
		lengths[i] = lap.EndS - lap.StartS
	}
	return len(laps) > 3 && countsUp(lengths)
}

// moveMeans makes of the samples, one for each lap, the table of laps.
func (imp *Import) moveMeans() {
	s, n := imp.Samples, len(imp.Laps)
	for i := range imp.Laps {
		imp.Laps[i].DistanceM = units.Missing
		if s.Values[trial.DistanceM] != nil {
			imp.Laps[i].DistanceM = s.Values[trial.DistanceM][i]
		}
	}
	// Without a speed, that of the distance.
	speed := filled(s.Values[trial.SpeedMps], n)
	for i, lap := range imp.Laps {
		if !units.Known(speed[i]) {
			speed[i] = lap.DistanceM / (lap.EndS - lap.StartS)
		}
	}
	s.Values[trial.SpeedMps] = speed
	// The end of the last lap.
	s.Elapsed = append(s.Elapsed, imp.Laps[n-1].EndS)
	for c := range s.Values {
		if s.Values[c] != nil {
			s.Values[c] = append(s.Values[c], units.Missing)
		}
	}
	imp.LapTable, imp.Samples = s, nil
}
