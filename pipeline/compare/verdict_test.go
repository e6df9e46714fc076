package compare

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// threeSessions is a trial of three balanced sessions in which B is as many
// percent faster than A as said, and C likewise, with a spread of 0.1 %.
func threeSessions(b, c float64) *made {
	m := undrifting("ABC")
	for i, order := range []string{"ABCCBA", "CABBAC", "BCAACB", "ABCCBA", "CABBAC"} {
		m.session(fmt.Sprint("d", i+1), order, func(place int, shoe string) float64 {
			log := map[string]float64{"A": 0, "B": b, "C": c}[shoe] / 100
			return math.Exp(1.4 + log + 0.001*float64((place*7+i*3)%5-2))
		})
	}
	return m
}

// TestHeadline: who is ahead, who is level, who is told apart.
func TestHeadline(t *testing.T) {
	for want, m := range map[string]*made{
		"Shoe C comes out ahead of every other shoe at 270 W; against the next one, Shoe B, by +": threeSessions(2, 4),
		"Shoe A comes out ahead of every other shoe at 270 W; against the next one, Shoe B, by +": threeSessions(-2,
			-4),
		"Shoe C and Shoe B cannot be told apart in speed at 270 W; Shoe C is told apart from Shoe A.": threeSessions(4,
			4.001),
		"Shoe A, Shoe B and Shoe C cannot be told apart in speed at 270 W.": threeSessions(0, 0),
		"Shoe B comes out ahead of every other shoe at 270 W in the one session there is; against the ": noisy(
			undrifting("AB"),
			1, 0.0005, "ABBABAAB"),
	} {
		got := m.run().Verdict
		if !strings.HasPrefix(sorted(got.Headline), sorted(want)) && !strings.HasPrefix(got.Headline, want) {
			t.Errorf("%q, want %q", got.Headline, want)
		}
		if d := strings.Join(got.Detail, " "); !strings.Contains(d, "Adjusting to equal effort moved this by 0.00 %") ||
			!strings.Contains(d, "The evidence is ") {
			t.Errorf("detail %q", d)
		}
	}
}

// sorted makes the order of shoes that stand level irrelevant.
func sorted(headline string) string {
	names, rest, found := strings.Cut(headline, " cannot be told apart")
	if !found {
		return headline
	}
	count := ""
	for _, name := range []string{"Shoe A", "Shoe B", "Shoe C"} {
		if strings.Contains(names, name) {
			count += name
		}
	}
	return count + rest
}

// TestAheadOfThoseItMet: with shoes out of reach "every other" would be too much.
func TestAheadOfThoseItMet(t *testing.T) {
	m := threeSessions(2, 4)
	m.Shoes = append(m.Shoes, trial.Shoe{ID: "X"}, trial.Shoe{ID: "Y", Label: "Shoe Y"})
	m.session("d9", "XYYX", func(place int, shoe string) float64 { return 4 + 0.01*float64(place) })
	v := m.run().Verdict
	if !strings.HasPrefix(v.Headline, "Shoe C comes out ahead of every shoe it can be compared with at 270 W") {
		t.Errorf("%q", v.Headline)
	}
	if d := v.Detail[len(v.Detail)-1]; d !=
		"Not in this order, because no session links them with Shoe A: X and Shoe Y." {
		t.Errorf("%q", d)
	}
}

// TestDetailsOfConfounded: the tipping points are said, of estimate and interval.
func TestDetailsOfConfounded(t *testing.T) {
	m := noisy(drifting("AB"), 2, 0.002, "AB", "AB", "AB", "AB", "AB")
	c := find(t, m.run(), "B", "A")
	want := fmt.Sprintf(
		"A drift of %s per block would produce the difference by itself, one of %s would bring the interval to zero.",
		c.Amount(c.TippingDrift), c.Amount(c.TippingInterval))
	if d := strings.Join(m.run().Verdict.Detail, " "); !strings.Contains(d, want) {
		t.Errorf("%q lacks %q", d, want)
	}
}

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
