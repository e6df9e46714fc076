package recording

import (
	"math"
	"testing"
)

// Minutes alone may be 60 or more; what stands after a colon is below 60.
func TestColonSeconds(t *testing.T) {
	for text, want := range map[string]float64{"0:00": 0, "4:05": 245, "70:30": 4230, "1:02:03,5": 3723.5,
		"25:00:00": 90_000, " 0:59.9 ": 59.9} {
		if got, ok := colonSeconds(text); !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%q: %v, %v, want %v s", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "90", "1:60", "1:75", "1:60:00", "-1:30", "1:-30", "-0:30", "1:2:3:4", "a:30"} {
		if got, ok := colonSeconds(text); ok {
			t.Errorf("%q is read as %v s", text, got)
		}
	}
}
