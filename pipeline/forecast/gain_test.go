package forecast

import (
	"math"
	"testing"

	"soletrial/pipeline/units"
)

// Nobody saves all of the energy, nor needs twice as much: such a saving gives no speed.
func TestSavingsThatGiveNoGain(t *testing.T) {
	for _, c := range Curves {
		for saving, known := range map[float64]bool{-1.5: false, -1: false, -0.99: true, 0: true, 0.5: true, 1: false,
			1.5: false, math.NaN(): false, math.Inf(1): false, math.Inf(-1): false} {
			if got := c.Gain(4, saving); units.Known(got) != known {
				t.Errorf("%s: a saving of %v gives %v", c.Name, saving, got)
			}
		}
	}
}
