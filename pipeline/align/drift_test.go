package align

import (
	"math"
	"testing"
)

// Least squares by hand: offsets of 10, 10.1, 10.1 and 10.2 s in the middle of parts 100 s apart
// grow by 0.0006 s a second; they are 0.01, 0.03, 0.03 and 0.01 s off that line, so that the
// variance is 0.002/2, over 4 parts for the offset and over 50,000 s² for the drift.
func TestDriftByHand(t *testing.T) {
	var m Match
	m.fitLine([]float64{200, 300, 400, 500}, []float64{10, 10.1, 10.1, 10.2})
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"drift", m.DriftPpm, 600}, {"its standard error", m.DriftStandardError, 1e6 * math.Sqrt(0.001/50_000)},
		{"standard error of the offset", m.StandardErrorS, math.Sqrt(0.001 / 4)},
	} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("%s %v, want %v", c.name, c.got, c.want)
		}
	}
}
