package recording

import (
	"bytes"
	"math"
	"slices"
	"testing"
	"time"

	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
)

// One of every unit in the channel's own unit. The international foot is 0.3048 m, the mile 5280 of
// them, 0 °C is 273.15 K and 9 °F are 5 K: NIST Special Publication 811 (2008), appendix B.8.
func TestEveryUnitByTheHandbook(t *testing.T) {
	const mile = 5280 * 0.3048
	want := map[trial.Channel]map[string]float64{
		trial.PowerW: {"W": 1, "kW": 1000},
		trial.SpeedMps: {"m/s": 1, "km/h": 1000.0 / 3600, "mph": mile / 3600, "mm/s": 0.001, "min/km": 1000.0 / 60,
			"s/km": 1000, "s/mi": mile, "min/mi": mile / 60},
		trial.DistanceM:     {"m": 1, "km": 1000, "mi": mile, "cm": 0.01},
		trial.CadenceSpm:    {"steps/min": 1, "rpm": 1}, // doubled once it is seen to be of one foot
		trial.StepLengthM:   {"m": 1, "cm": 0.01, "mm": 0.001},
		trial.ContactMs:     {"ms": 1, "s": 1000},
		trial.OscillationCm: {"cm": 1, "mm": 0.1, "m": 100},
		trial.HeartRateBpm:  {"bpm": 1},
		trial.AltitudeM:     {"m": 1, "ft": 0.3048},
		trial.AirC:          {"°C": 1, "°F": (1 - 32) * 5.0 / 9, "K": 1 - 273.15},
	}
	for c := range trial.ChannelCount {
		known := 0
		for i := range unitTable[c] {
			u := &unitTable[c][i]
			if u.refuse != "" {
				continue
			}
			known++
			one, listed := want[c][u.name]
			if got := u.convert(1); !listed || math.Abs(got-one) > 1e-12*max(1, math.Abs(one)) {
				t.Errorf("1 %s is %v in the unit of %s, want %v", u.name, got, c.Info().Column, one)
			}
		}
		if known != len(want[c]) {
			t.Errorf("%s has %d units, %d by the handbook", c.Info().Column, known, len(want[c]))
		}
	}
}

// Distances on a sphere that geometry gives without a formula: over a pole, along the equator, and
// by the spherical law of cosines.
func TestDistancesOnTheSphere(t *testing.T) {
	for _, c := range []struct {
		a, b point
		want float64 // degrees of arc
	}{
		{point{lat: 60}, point{lat: 60, lon: 180}, 60},
		{point{lat: 60}, point{lat: 45, lon: 180}, 75},
		{point{lat: -45}, point{lat: -45, lon: 180}, 90},
		{point{lon: 10}, point{lon: 100}, 90},
		{point{lat: 90}, point{lat: 20, lon: 77}, 70},
		{point{lat: 60}, point{lat: 60, lon: 90}, math.Acos(0.75) * 180 / math.Pi}, // sin²60° + cos²60° cos 90°
		{point{lat: 5, lon: 5}, point{lat: 5, lon: 5}, 0},
	} {
		if got := haversine(c.a, c.b) / earthRadius * 180 / math.Pi; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("from %v to %v: %v degrees, want %v", c.a, c.b, got, c.want)
		}
	}
}

// A point of the year 1, which devices without a clock write, has no time.
func TestTimesOfPoints(t *testing.T) {
	for text, want := range map[string]bool{"2026-05-02T07:00:00Z": true, "2026-05-02T07:00:00.25+02:00": true,
		"2026-05-02T07:00:00": true, "0001-01-01T00:00:00Z": false, "0001-01-01T00:00:00": false, "noon": false} {
		if _, ok := gpxTime(text); ok != want {
			t.Errorf("%q is a time: %v", text, ok)
		}
	}
}

// A heading is of a time by its whole text, or by what stands before its unit.
func TestHeadingsOfTimes(t *testing.T) {
	for text, want := range map[string]bool{"time": true, "Time (s)": true, "timestamp": true, "Timestamp [UTC]": true,
		"elapsed_s": true, "speed": false, "speed (s/km)": false, "": false} {
		if got := isTimeHeading(text); got != want {
			t.Errorf("%q is of a time: %v", text, got)
		}
	}
}

// Twelve hours between two recordings may be a pause; more is another day.
func TestLongestPause(t *testing.T) {
	begin := time.Date(2026, 5, 2, 6, 0, 0, 0, time.UTC)
	at := func(from time.Time) *Import {
		return &Import{Start: from, Samples: &trial.Samples{Elapsed: []float64{0, 600}}}
	}
	first := at(begin)
	_, end := first.span()
	for pause, apart := range map[time.Duration]bool{0: false, MaxPause: false, MaxPause + time.Second: true} {
		_, after, got := Apart([]*Import{at(end.Add(pause)), first})
		if (got > 0) != apart || apart && (got != pause || after != 0) {
			t.Errorf("a pause of %v: %v before recording %d", pause, got, after)
		}
	}
}

// Heart rate is told by whole numbers of which nine steps in ten are of one at most.
func TestSmoothIsNineStepsInTen(t *testing.T) {
	rising := func(steps ...float64) []float64 {
		values := []float64{140}
		for _, step := range steps {
			values = append(values, values[len(values)-1]+step)
		}
		return values
	}
	for _, c := range []struct {
		values []float64
		want   bool
	}{
		{rising(1, 0, -1, 1, 0, 1, 0, -1, 1, 7), true},
		{rising(7, 0, -1, 1, 0, 1, 0, -1, 1, 1), true},
		{rising(7, 0, -1, 1, 0, 1, 0, -1, 1), false},
		{rising(1, 0, -1, 1, 0, 1, 0, -1, 7, 7), false},
		{rising(1), true}, {rising(), false}, {rising(2), false}, {rising(0.5, 0.5), false},
		{[]float64{140, math.NaN(), 140}, false},
	} {
		if got := smooth(c.values); got != c.want {
			t.Errorf("%v: %v", c.values, got)
		}
	}
}

// Reading is not taken up again where no time was read before the damage, nor where nothing whole
// follows it.
func TestNothingToGoOnFrom(t *testing.T) {
	run := fittest.Run(fittest.Spec{Blocks: 1, BlockS: 60, Start: time.Date(2026, 5, 2, 6, 0, 0, 0, time.UTC)})
	body := run[run[0] : len(run)-2] // without the header, whose first byte is its length, and the CRC
	if got := resume(body, 0); got != -1 {
		t.Errorf("taken up at byte %d, although nothing was read before the damage", got)
	}
	// Whole messages up to the damage, and nothing that reads on behind it.
	var l layouts
	end, records := 0, 0
	for records < 30 {
		next, data, ok := l.next(body, end)
		if !ok {
			t.Fatalf("byte %d is no message", end)
		}
		if data != nil && data.record {
			records++
		}
		end = next
	}
	damaged := append(slices.Clone(body[:end]), bytes.Repeat([]byte{0xF7}, 400)...)
	if got := resume(damaged, end); got != -1 {
		t.Errorf("taken up at byte %d of rubbish", got)
	}
}
