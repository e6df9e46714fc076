package units

import (
	"math"
	"testing"
)

// Common practice, no source: a shoe of 242 g is said to be 8.54 oz, one of 481 g
// 16.97 oz.
func TestOuncesOfShoes(t *testing.T) {
	for grams, want := range map[float64]string{242: "8.54", 481: "16.97"} {
		if got := FormatDecimal(Ounces(grams), 2); got != want {
			t.Errorf("%v g are %s oz, want %s", grams, got, want)
		}
	}
}

// Common practice, no source: 1.55 km against 1.49 km in the same seven minutes are
// about 4 % more distance, and 4:31 against 4:42 per km.
func TestSevenMinutes(t *testing.T) {
	for metres, want := range map[float64]string{1550: "4:31", 1490: "4:42"} {
		if got := FormatPace(Pace(metres / 420)); got != want {
			t.Errorf("%v m in 7:00 are %s per km, want %s", metres, got, want)
		}
	}
	if more := 100 * (1550.0/1490 - 1); math.Abs(more-4) > 0.05 {
		t.Errorf("%v %% more distance, want about 4", more)
	}
}
