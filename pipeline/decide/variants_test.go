package decide

import (
	"fmt"
	"slices"
	"testing"
)

func names(sessions, blocks int) []BlockName {
	var all []BlockName
	for s := range sessions {
		for b := range blocks {
			all = append(all, BlockName{fmt.Sprintf("s%03d", s), fmt.Sprint(b)})
		}
	}
	return all
}

func TestFamilySize(t *testing.T) {
	for _, c := range []struct {
		sessions, blocks int
		share            bool
		want             int
	}{{1, 4, false, 64}, {8, 5, true, 102}, {10, 6, false, 120}, {11, 6, false, 71}, {100, 6, true, 122}} {
		family := Variants(StraightDrift, names(c.sessions, c.blocks), c.share)
		if len(family) != c.want {
			t.Errorf("%d sessions of %d: %d analyses, want %d", c.sessions, c.blocks, len(family), c.want)
		}
		seen := map[Variant]bool{}
		for _, v := range family {
			if seen[v] {
				t.Errorf("twice: %+v", v)
			}
			seen[v] = true
		}
		if !seen[Variant{Window: PublishedWindow, Drift: StraightDrift, Exponent: MeanExponent}] {
			t.Error("the published analysis is not in the family")
		}
	}
}

func TestLeavesOut(t *testing.T) {
	block := Variant{LeftOutSession: "s1", LeftOutBlock: "2"}
	session := Variant{LeftOutSession: "s1"}
	for _, c := range []struct {
		v    Variant
		b    BlockName
		want bool
	}{{block, BlockName{"s1", "2"}, true}, {block, BlockName{"s1", "1"}, false}, {session, BlockName{"s1", "1"}, true},
		{session, BlockName{"s2", "1"}, false}, {Variant{}, BlockName{"", "1"}, false}} {
		if got := c.v.LeavesOut(c.b); got != c.want {
			t.Errorf("%+v leaves %+v out: %v", c.v, c.b, got)
		}
	}
}

// The ends of the middle 80 % of N(0.90, 0.15²): 0.90 ± 1.2816 x 0.15 (any normal table).
func TestVariantSettings(t *testing.T) {
	s := speedAtPower()
	low := Variant{Exponent: LowExponent, Drift: CurvedDrift}.Settings(s)
	within(t, "low exponent", low.Prior.Exponent.Mean, 0.70777, 1e-5)
	if low.Prior.Exponent.SD != 0 || low.Drift != CurvedDrift {
		t.Errorf("low: %+v", low)
	}
	high := Variant{Exponent: HighExponent}.Settings(s)
	within(t, "high exponent", high.Prior.Exponent.Mean, 1.09223, 1e-5)
	if none := (Variant{Exponent: NoExponent, Drift: NoDrift}).Settings(s); none.Prior.Exponent != (Exponent{}) {
		t.Errorf("none: %+v", none)
	}
	if mean := (Variant{Exponent: MeanExponent}).Settings(s); mean != s {
		t.Errorf("mean: %+v", mean)
	}
}

func TestAnalyse(t *testing.T) {
	trial := simulatedTrial{orders: many(1, "ABBA", "BAAB"), block: 0.006, effects: map[rune]float64{'B': 0.02}}
	blocks, settings := trial.blocks(4), speedAtPower()
	var all []BlockName
	for i, b := range blocks {
		all = append(all, BlockName{b.Session, fmt.Sprint(i)})
	}
	family := Variants(settings.Drift, all, false)
	f := fit(t, blocks, settings, Exact)
	rows := Analyse(family, Around{Published: f, Shoe: "B", Step: func() {}, Of: func(v Variant) ([]Block,
		func([]string) Sensor) {
		var kept []Block
		for i, b := range blocks {
			if !v.LeavesOut(all[i]) && v.Window != LapsWindow { // no laps in these data
				kept = append(kept, b)
			}
		}
		return kept, func(shoes []string) Sensor { return Sensor{SD: make([]float64, len(shoes))} }
	}}, 1)
	if len(rows) != 48+8 {
		t.Fatalf("%d analyses, want 56", len(rows))
	}
	if n := SameLeader(rows, "B"); n != len(rows) {
		t.Errorf("B leads in %d of %d", n, len(rows))
	}
	curved := slices.IndexFunc(rows, func(r Analysis) bool { return r.Variant.Drift == CurvedDrift })
	none := slices.IndexFunc(rows, func(r Analysis) bool { return r.Variant.Drift == NoDrift })
	if rows[curved].Lead.SD <= rows[none].Lead.SD*0.9 || rows[curved].Lead.Mean == rows[none].Lead.Mean {
		t.Errorf("a curved drift changes nothing: %+v and %+v", rows[curved].Lead, rows[none].Lead)
	}
}

// A bend of the prior's size costs certainty where the order does not balance it.
func TestCurvedDriftHasAPrior(t *testing.T) {
	blocks := simulatedTrial{orders: []string{"ABBA"}, block: 0.006}.blocks(4)
	straight := speedAtPower()
	curved := straight
	curved.Drift = CurvedDrift
	a, b := fit(t, blocks, straight, Exact), fit(t, blocks, curved, Exact)
	if !(b.Pair(1, 0, Sensor{}).D.SD > a.Pair(1, 0, Sensor{}).D.SD) {
		t.Error("A B B A does not balance a bend, but the interval is no wider")
	}
	// With A outside and B inside, nothing tells a bend from a shoe: the prior remains.
	within(t, "SD of the bend", b.Spreads.Curve.SD, 0.02, 1e-9)
}
