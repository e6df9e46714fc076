package main

import (
	"bytes"
	"math"
	"math/rand/v2"
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
	if other := row(2); other.halfWidth == first.halfWidth {
		t.Error("another seed gave the same row")
	}
	if first.power < 0.8 || first.falseClaim > 0.3 || first.different[decide.Fastest] < 0.8 {
		t.Errorf("2 %% over 24 blocks of 0.5 %%: %+v", first)
	}
}

// A limit is broken only by more than chance.
func TestBrokenLimits(t *testing.T) {
	once, three := decisionDesign{sessions: 1, shoes: "AB"}, decisionDesign{sessions: 3, shoes: "ABC"}
	for _, c := range []struct {
		design                      decisionDesign
		claims, any, coverage, over float64
		want                        int
	}{
		{once, 0.06, 0.06, 0.94, 0, 0}, {once, 0.08, 0.08, 0.92, 0, 0}, {once, 0.02, 0.02, 0.91, 0, 1},
		{once, 0.02, 0.02, 0.95, 0.06, 0}, {once, 0.02, 0.02, 0.95, 0.08, 1}, {three, 0.02, 0.02, 0.95, 0.08, 0},
		{three, 0.06, 0.15, 0.95, 0, 0}, {three, 0.06, 0.18, 0.95, 0, 1}, {three, 0.09, 0.10, 0.90, 0, 2},
	} {
		r := decisionRow{design: c.design, n: 1000, falseClaim: c.claims, anyClaim: c.any, coverage: c.coverage}
		r.over[2], r.overError[2] = c.over, 0.01
		if got := r.broken(); len(got) != c.want {
			t.Errorf("%+v: %v, want %d", c, got, c.want)
		}
	}
}

// A posterior that is moved is the posterior of blocks that are moved, so that one draw of the
// noise stands for all true differences: by hand, the chance at a true difference of 1 %.
func TestOptimismMovesThePosterior(t *testing.T) {
	d, v := decisionDesigns[0], noise{0.009, 0.004}
	settings, err := decide.DefaultSettings(trial.Power, trial.Speed)
	if err != nil {
		t.Fatal(err)
	}
	fit := func(truth float64) *decide.Posterior {
		p, err := decide.Fit(d.draw(v, truth, rand.New(rand.NewPCG(1, 1))), settings, decide.Exact)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	moved := fit(0).Chance(1, 0, decide.Sensor{Correction: []float64{0, 0.01}}, 0)
	if drawn := fit(0.01).Chance(1, 0, decide.Sensor{}, 0); math.Abs(moved-drawn) > 1e-9 {
		t.Errorf("moved %v, drawn %v", moved, drawn)
	}
	// From whichever true difference the noise was drawn.
	if a, b := optimism(fit(0), 0), optimism(fit(0.02), 0.02); math.Abs(a[1]-b[1]) > 1e-9 {
		t.Errorf("%v from equal shoes, %v from a difference", a, b)
	}
}

// By arithmetic: the sessions' differences of B and A are 2, 3 and 4 %, so t = 0.03/(0.01/√3) =
// 5.20, past 4.30 of two degrees of freedom (97.5 %); with 0 in place of the first, t = 1.94.
func TestFasterByT(t *testing.T) {
	for first, want := range map[float64]bool{0.02: true, 0: false} {
		var blocks []decide.Block
		for s, difference := range []float64{first, 0.03, 0.04} {
			for i, shoe := range "ABBA" {
				b := decide.Block{Session: string(rune('a' + s)), Shoe: string(shoe), X: 0.01 * float64(i)}
				if b.Y = exponent * b.X; shoe == 'B' {
					b.Y += difference
				}
				blocks = append(blocks, b)
			}
		}
		if got := fasterByT(blocks); got != want {
			t.Errorf("first session %g: %v, want %v", first, got, want)
		}
	}
	if fasterByT([]decide.Block{{Session: "a", Shoe: "A"}, {Session: "a", Shoe: "B", Y: 1}}) {
		t.Error("one session is enough for a t test")
	}
}
