package main

import (
	"bytes"
	"math"
	"reflect"
	"strings"
	"testing"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// TestSameSeedSameTable: the table is a function of the seed, not of how many
// trials run at once.
func TestSameSeedSameTable(t *testing.T) {
	table := func(seed uint64) string {
		var out bytes.Buffer
		for i, d := range designs[:4] {
			summarise(d, study(d, i, 20, seed)).print(&out)
		}
		return out.String()
	}
	first := table(1)
	if table(1) != first {
		t.Error("the same seed gave another table")
	}
	if table(2) == first {
		t.Error("another seed gave the same table")
	}
}

// TestDrawFollowsTheDesign: shoes, places, drift and power of a drawn trial. The
// mean of many draws is the model's: no shoe is faster.
func TestDrawFollowsTheDesign(t *testing.T) {
	d := design{"", 3, []string{"ABBA", "BAAB"}, 0, -0.5, 0}
	s := draw(d, 1, 1)
	if len(s.dataset.Sessions) != 3 || len(s.observations) != 12 {
		t.Fatalf("%d sessions, %d blocks", len(s.dataset.Sessions), len(s.observations))
	}
	order := ""
	for _, o := range s.observations {
		order += o.Shoe
	}
	if order != "ABBABAABABBA" {
		t.Errorf("order %s", order)
	}
	c := aAgainstB(s)
	if math.Abs(c.DriftPerHour-100*math.Expm1(-0.5)) > 5*c.DriftSE {
		t.Errorf("drift %v +- %v, want that of -0.5", c.DriftPerHour, c.DriftSE)
	}
	mean := 0.0
	for i := range 400 {
		mean += aAgainstB(draw(d, 1, uint64(i))).LogEstimate / 400
	}
	if math.Abs(mean) > 4*blockSD/math.Sqrt(3*400) {
		t.Errorf("equal shoes differ by %v on average", mean)
	}
}

func aAgainstB(s simulated) *compare.Comparison {
	r := compare.Analyse(s.dataset, s.observations, nil, 1)
	return r.Find(trial.Speed, "power 270", "A", "B")
}

// TestLostBlocks: a chance of losing blocks loses about as many.
func TestLostBlocks(t *testing.T) {
	d, kept := design{"", 4, []string{"ABBAABBA"}, 0, 0, 0.25}, 0
	for i := range 100 {
		kept += len(draw(d, 1, uint64(i)).observations)
	}
	if kept < 2250 || kept > 2550 { // 3200 x 0.75, 6 standard errors
		t.Errorf("%d of 3200 blocks were kept", kept)
	}
}

// TestSummary works a table row out by hand.
func TestSummary(t *testing.T) {
	r := summarise(design{name: "d"}, []outcome{
		{models: map[string]int{"mixed": 2}, pairs: 2, longRun: 1, half: 0.01, byHolm: true},
		{models: map[string]int{"mixed": 1, "mixed at zero": 1}, pairs: 2, longRun: 0.5, half: 0.03},
	})
	var out strings.Builder
	r.print(&out)
	want := "| d | mixed 75.0, mixed at zero 25.0 | 75.0 +- 25.0 |  | 2.00 | 50.0 +- 35.4 |\n"
	if out.String() != want {
		t.Errorf("%q, want %q", out.String(), want)
	}
}

// The table of decisions is a function of the seed, and one row tells designs apart: a real
// difference over many blocks is found, equal shoes are not.
func TestDecisionRow(t *testing.T) {
	d := decisionDesigns[4]
	row := func(seed uint64) decisionRow { return decisionRowOf(d, noise{0.005, 0}, 12, seed, 1) }
	first := row(1)
	if again := row(1); !reflect.DeepEqual(again, first) {
		t.Errorf("the same seed gave %+v, then %+v", first, again)
	}
	if other := row(2); other.half == first.half {
		t.Error("another seed gave the same row")
	}
	if first.power < 0.8 || first.falseClaim > 0.3 || first.different[decide.Fastest] < 0.8 {
		t.Errorf("2 %% over 24 blocks of 0.5 %%: %+v", first)
	}
}

// A limit is broken only by more than chance.
func TestBrokenLimits(t *testing.T) {
	for _, c := range []struct {
		claims, coverage float64
		want             int
	}{{0.06, 0.94, 0}, {0.08, 0.92, 0}, {0.09, 0.95, 1}, {0.02, 0.91, 1}, {0.10, 0.90, 2}} {
		r := decisionRow{n: 1000, falseClaim: c.claims, coverage: c.coverage}
		if got := r.broken(); len(got) != c.want {
			t.Errorf("claims %g, coverage %g: %v, want %d", c.claims, c.coverage, got, c.want)
		}
	}
}
