package units

import (
	"math"
	"testing"
)

// The factors are exact by the international yard and pound agreement of 1959; the
// numbers are those of NIST SP 811 (2008), appendix B.8, rounded as it prints them:
// 1 mile = 1609.344 m, 1 ft = 0.3048 m, 1 in = 2.54 cm, 1 oz = 28.349523125 g (it
// prints 28.34952), 1 lb = 0.45359237 kg, 1 mile per hour = 0.44704 m/s, and
// t/°F = 1.8 t/°C + 32.
func TestImperial(t *testing.T) {
	for _, c := range []struct {
		unit     string
		x        float64
		wantUnit string
		want     float64
	}{
		{"m/s", 0.44704, "mph", 1}, {"km", 1.609344, "mi", 1}, {"m", 0.3048, "ft", 1}, {"m", 1609.344, "ft", 5280},
		{"cm", 2.54, "in", 1},
		{"g", 28.349523125, "oz", 1}, {"g", 453.59237, "oz", 16}, {"kg", 0.45359237, "lb", 1}, {"°C", 100, "°F", 212},
		{"°C", 0, "°F", 32}, {"°C", -40, "°F", -40},
		{"s/km", 250, "s/mile", 402.336}, {"1/km", 600, "1/mile", 965.6064}, {"W", 268, "W", 268},
		{"bpm", 150, "bpm", 150},
	} {
		conversion := Imperial(c.unit)
		if got := conversion.Of(c.x); conversion.Unit != c.wantUnit ||
			math.Abs(got-c.want) > 1e-12*math.Max(1, math.Abs(c.want)) {
			t.Errorf("%v %s are %v %s, want %v %s", c.x, c.unit, got, conversion.Unit, c.want, c.wantUnit)
		}
	}
	if Known(Imperial("m").Of(Missing)) || Known(Imperial("W").Of(Missing)) {
		t.Error("a missing number is no longer missing")
	}
	if GramsPerOunce != 28.349523125 || MetresPerMile != 1609.344 || math.Abs(Ounces(453.59237)-16) > 1e-12 ||
		math.Abs(PerMile(250)-402.336) > 1e-12 {
		t.Error("the ounce or the mile is another")
	}
}
