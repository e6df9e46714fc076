package plan

import (
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Times of the day or since the start, with seconds where a block, rest or warm-up has some.
func TestClockByHand(t *testing.T) {
	for _, c := range []struct {
		start               string
		block, rest, warmUp float64
		at                  float64
		want                string
	}{
		{"17:30", 360, 180, 900, 900, "17:45"}, {"17:30", 330, 180, 900, 900, "17:45:00"},
		{"17:30", 360, 90, 900, 61, "17:31:01"}, {"", 360, 180, units.Missing, 3661, "1:01"},
		{"", 360, 180, 45, 3661, "1:01:01"}, {"23:50", 360, 180, 900, 900, "00:05"}, {"9", 360, 180, 900, 60, "0:01"},
		{"9:05", 360, 180, 900, 0, "09:05"}, {"9:00", 360, 180, 900, 0, "09:00"}, {"", 360, 180, 900, 3600, "1:00"},
	} {
		p := &trial.PlanFacts{Start: c.start, BlockS: c.block, RestS: c.rest, WarmUpS: c.warmUp}
		if got := newClock(p).text(c.at); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}
