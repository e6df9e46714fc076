package units_test

import (
	"math"
	"testing"

	"soletrial/pipeline/units"
)

// The factors are those of NIST Special Publication 811 (2008), appendix B.8: one
// ounce 28.349523125 g, one yard 0.9144 m, one mile 1609.344 m.
func TestQuantitiesAsPeopleWriteThem(t *testing.T) {
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		want  float64
	}{
		{units.ParseMass, "214", 214}, {units.ParseMass, "214 g", 214}, {units.ParseMass, "214g", 214},
		{units.ParseMass, "7.5 oz", 212.6214234375}, {units.ParseMass, "0.21 kg", 210},
		{units.ParsePower, "268", 268}, {units.ParsePower, "268 W", 268}, {units.ParsePower, "268w", 268},
		{units.ParseHeartRate, "154 bpm", 154},
		{units.ParseLength, "400", 400}, {units.ParseLength, "440 yd", 402.336}, {units.ParseLength, "0.25 mi",
			402.336},
		{units.ParseLength, "10km", 10000},
		{units.ParseAnyPace, "4:02", 242}, {units.ParseAnyPace, "4:02/km", 242}, {units.ParseAnyPace, "4:02 min/km",
			242},
		{units.ParseAnyPace, "6:30/mi", 390 / 1.609344}, {units.ParseAnyPace, "6:30 min/mile", 390 / 1.609344},
	} {
		if got, err := c.parse(c.text); err != nil || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%q: %v, %v; want %v", c.text, got, err, c.want)
		}
	}
	for _, text := range []string{"", "g", "2 14", "214 lb/in", "1e3", "0x10", "12,5", "--3"} {
		for _, parse := range []func(string) (float64, error){units.ParseMass, units.ParsePower, units.ParseLength} {
			if got, err := parse(text); err == nil {
				t.Errorf("%q was read as %v", text, got)
			}
		}
		if got, err := units.ParseAnyPace(text); err == nil {
			t.Errorf("%q was read as a pace of %v", text, got)
		}
	}
}
