package stats

import (
	"math"
	"testing"
)

// Bland & Altman (1986), table 1, first readings (reference sheet 11.4).
func TestBlandAltman(t *testing.T) {
	a := BlandAltman(differences(t, "bland_altman_pefr.csv", "large1", "mini1"), 0.95)
	near(t, "bias", a.Bias.Value, -2.11764705882353, 1e-13)
	near(t, "SD", a.SD, 38.7651298736, 1e-11)
	near(t, "lower limit", a.Lower.Value, -78.0959054849, 1e-9) // there with z = 1.959963985
	near(t, "upper limit", a.Upper.Value, 73.8606113673, 1e-9)
	// the paper puts its limits at two SD
	a = BlandAltman(differences(t, "bland_altman_pefr.csv", "large1", "mini1"), 1-NormalTwoSided(2))
	near(t, "lower limit", a.Lower.Value, -79.6479, 1e-6)
	near(t, "upper limit", a.Upper.Value, 75.4126, 1e-6)
	for _, c := range []struct {
		name   string
		e      Estimate
		lo, hi float64
	}{
		{"bias", a.Bias, -22.0488376966, 17.8135435790},
		{"lower", a.Lower, -114.1697, -45.1261}, // the paper prints -114.3 to -45.1
		{"upper", a.Upper, 40.8908, 109.9344},
	} {
		lo, hi := c.e.Interval(0.95)
		near(t, c.name+" lo", lo, c.lo, 2e-6)
		near(t, c.name+" hi", hi, c.hi, 2e-6)
		near(t, c.name+" df", c.e.DF, 16, 0)
	}
	if one := BlandAltman([]float64{1}, 0.95); !math.IsNaN(one.Upper.Value) || one.Bias.Value != 1 {
		t.Errorf("one difference: %+v", one)
	}
}

func differences(t testing.TB, file, a, b string) []float64 {
	d := readTable(t, "testdata/"+file)
	x, y := d.num(a), d.num(b)
	for i := range x {
		x[i] -= y[i]
	}
	return x
}
