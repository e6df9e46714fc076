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
// the rows are laps: seconds that only count up are not.
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
	if n := len(kept) - 1; n > 1 && sumsUp(imp.Laps) {
		kept, imp.Laps = kept[:n], imp.Laps[:n]
		imp.drop("the last row, which sums up the laps")
	}
	if len(kept) < 1 || countsUpLaps(imp.Laps) {
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

// sumShare is by how much a row that sums up laps may miss the sum of their lengths, which
// are rounded.
const sumShare = 0.01

// sumsUp reports whether the last lap is as long as all before it together.
func sumsUp(laps []trial.Lap) bool {
	last := laps[len(laps)-1]
	sum, length := last.StartS-laps[0].StartS, last.EndS-last.StartS
	return math.Abs(length-sum) <= float64(sumShare*sum)
}

// countsUpLaps reports whether the lengths of laps are really seconds that count up.
func countsUpLaps(laps []trial.Lap) bool {
	lengths := make([]float64, len(laps))
	for i, lap := range laps {
		lengths[i] = lap.EndS - lap.StartS
	}
	return len(laps) > 3 && countsUp(lengths)
}

// moveMeans makes of the samples, one for each lap, the means of the laps.
func (imp *Import) moveMeans() {
	s := imp.Samples
	at := func(c trial.Channel, i int) float64 {
		if s.Values[c] == nil {
			return units.Missing
		}
		return s.Values[c][i]
	}
	for i := range imp.Laps {
		lap := &imp.Laps[i]
		lap.DistanceM = at(trial.DistanceM, i)
		means := LapMeans{trial.MeasurePower: at(trial.PowerW, i), trial.MeasureSpeed: at(trial.SpeedMps, i),
			trial.MeasureHeartRate: at(trial.HeartRateBpm, i), trial.MeasureCadence: at(trial.CadenceSpm, i),
			trial.MeasureStepLength: at(trial.StepLengthM, i), trial.MeasureContact: at(trial.ContactMs, i),
			trial.MeasureOscillation: at(trial.OscillationCm, i), trial.MeasureOxygen: units.Missing}
		if !units.Known(means[trial.MeasureSpeed]) {
			means[trial.MeasureSpeed] = lap.DistanceM / (lap.EndS - lap.StartS)
		}
		imp.Means = append(imp.Means, means)
	}
	imp.Samples = nil
}

// LapMeans are the means of one lap, missing where a table does not have them.
type LapMeans [trial.MeasureCount]float64

// LapSamples are means as if they had been recorded every second, to find blocks by.
// They are no recording.
func LapSamples(laps []trial.Lap, means []LapMeans) *trial.Samples {
	s := &trial.Samples{}
	for i, lap := range laps {
		for t := lap.StartS; t < lap.EndS; t++ {
			s.Elapsed = append(s.Elapsed, t)
			for c, m := range map[trial.Channel]trial.Measure{trial.PowerW: trial.MeasurePower,
				trial.SpeedMps: trial.MeasureSpeed, trial.HeartRateBpm: trial.MeasureHeartRate} {
				s.Values[c] = append(s.Values[c], means[i][m])
			}
		}
	}
	return s
}
