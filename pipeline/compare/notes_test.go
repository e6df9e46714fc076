package compare

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/units"
)

// TestPooledAdjustment: every runner held B at 2 % over, so that is the size of
// the adjustment; one without a known effort has none.
func TestPooledAdjustment(t *testing.T) {
	m := noisy(undrifting("AB"), 9, 0.005, "ABBAAB", "BAABBA", "ABBABA").each(func(o *Observation) {
		o.Runner = o.Session
		if o.Shoe == "B" {
			o.MeanEffort *= 1.02
		}
	})
	m.Facts.Method.PowerExponent = 1
	c := find(t, m.run(), "B", "A")
	near(t, "adjustment", c.Adjustment, c.Estimate-100*(math.Exp(c.LogEstimate+math.Log(1.02))-1), 1e-9)
	m.Facts.Method.PowerExponent = 0
	near(t, "switched off", find(t, m.run(), "B", "A").Adjustment, math.NaN(), 0)
}

// TestQuietNotes: what does not apply is not mentioned.
func TestQuietNotes(t *testing.T) {
	m := noisy(drifting("AB"), 9, 0.005, "ABBAAB", "BAABBA", "ABBABA", "BABAAB",
		"ABBAAB").each(func(o *Observation) { o.Midpoint = 60 })
	c := find(t, m.run(), "B", "A")
	if notes := strings.Join(c.Notes, "; "); len(c.Notes) != 1 || strings.Contains(notes, "drift") ||
		strings.Contains(notes, "did not differ") {
		t.Errorf("blocks at the same time leave nothing to say of a drift: %q", notes)
	}
	if units.FormatSigned(0, 2) != "0.00" || units.FormatSigned(-0.001, 2) != "0.00" ||
		units.FormatSigned(1, 2) != "+1.00" {
		t.Errorf("%q, %q, %q", units.FormatSigned(0, 2), units.FormatSigned(-0.001, 2), units.FormatSigned(1, 2))
	}
}
