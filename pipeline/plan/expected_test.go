package plan

import (
	"math"
	"testing"

	"soletrial/pipeline/decide"
)

// The interval to expect: about what the textbook says of two means of n blocks with a known
// spread, 1.96 x sqrt(2/n) of a block's, the day-to-day spread of both shoes with it (the
// prior's spreads here); narrower with more blocks and with what was run before; never
// narrower than the sensor's own error in the two shoes.
func TestHalfWidth(t *testing.T) {
	half := func(o Outlook) float64 {
		width, err := o.HalfWidth()
		if err != nil {
			t.Fatal(err)
		}
		return width
	}
	few, many := half(outlook(t, "AB", "ABBA")), half(outlook(t, "AB", "ABBABAABBAABABBA"))
	prior := outlook(t, "AB", "ABBA").Settings.Prior
	day := prior.DaySD * prior.DaySD // the mean square of a half-normal is its scale squared
	for n, got := range map[float64]float64{2: few, 8: many} {
		block := prior.BlockSD * prior.BlockSD
		want := 196 * math.Sqrt(2*(block/n+day))
		if got < 0.5*want || got > 2*want {
			t.Errorf("%v blocks of each shoe: ±%v %%, the textbook says about %v", n, got, want)
		}
	}
	if !(many < few) {
		t.Errorf("sixteen blocks leave ±%v %%, four ±%v %%", many, few)
	}
	// The sensor's error stays: 1.96 x sqrt(2) x 1.5 % is 4.2 % (arithmetic).
	blurred := outlook(t, "AB", "ABBABAABBAABABBA")
	blurred.SensorSD = map[string]float64{"A": 0.015, "B": 0.015}
	if got := half(blurred); got < 4.1 || got < many {
		t.Errorf("with a sensor that is off by 1.5 %% in each shoe: ±%v %%", got)
	}
	// Blocks so far count.
	later := outlook(t, "AB", "BAAB")
	for i, shoe := range []string{"A", "B", "B", "A"} {
		later.Blocks = append(later.Blocks, decide.Block{Session: "past", Shoe: shoe, TimeH: 0.15 * float64(i),
			Y: 1.4 + 0.002*float64(i%2)})
	}
	if got := half(later); !(got < few) {
		t.Errorf("after four more blocks ±%v %%, without ±%v %%", got, few)
	}
}
