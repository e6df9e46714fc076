package compare

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// TestPooledMachines: every worker a runner with one session. Within-worker
// contrasts pooled by REML with the Hartung-Knapp-Sidik-Jonkman interval, k - 1
// degrees of freedom (R 4.2.2, metafor; data as in TestMachines).
func TestPooledMachines(t *testing.T) {
	m := machineTrial(all).each(func(o *Observation) { o.Runner = o.Session })
	c := findIn(t, m.run(), trial.Comfort, "power 270", "B", "A")
	if c.Model != PooledRunners || c.Runners != 6 || c.Sessions != 6 || c.Blocks != 36 || len(c.PerRunner) != 6 {
		t.Errorf("%s over %d runners, %d sessions, %d blocks, %d shown", c.Model, c.Runners, c.Sessions, c.Blocks,
			len(c.PerRunner))
	}
	near(t, "estimate", c.Estimate, 8.0170089477302, 1e-8)
	near(t, "standard error", c.LogSE, 2.40722263145279, 1e-8)
	near(t, "between runners", c.BetweenSD, 5.81141785663124, 1e-8)
	near(t, "low", c.Low, 1.82904617698501, 1e-7)
	near(t, "high", c.High, 14.2049717184754, 1e-8)
	near(t, "p", c.P, 0.0207699069164111, 1e-7)
	near(t, "worker 1", c.PerRunner[0].Estimate, 10.2666666666667, 1e-12)
	if c.PerRunner[5].Runner != "worker 6" || c.PerRunner[5].Model != OneSession || !(c.PerRunner[5].Estimate < 0) {
		t.Errorf("the worker who was worse on B does not show: %+v", c.PerRunner[5])
	}
	if c.acrossSessions || c.Evidence != Thin {
		t.Errorf("evidence %s from single sessions", c.Evidence)
	}
}

// bcg are the 13 trials of Colditz et al. (1994), JAMA 271:698: cases and others
// among the vaccinated, cases and others among the rest.
var bcg = [13][4]float64{
	{4, 119, 11, 128}, {6, 300, 29, 274}, {3, 228, 11, 209}, {62, 13536, 248, 12619}, {33, 5036, 47, 5761},
	{180, 1361, 372, 1079}, {8, 2537, 10, 619},
	{505, 87886, 499, 87892}, {29, 7470, 45, 7232}, {17, 1699, 65, 1600}, {186, 50448, 141, 27197}, {5, 2493, 3, 2338},
	{27, 16886, 29, 17825},
}

// pooledBCG plays every trial by a runner with one session ABBA, whose speeds
// give just the trial's log risk ratio as difference and its sampling variance
// as squared standard error: blocks of a shoe lie sqrt(v/2) to either side.
func pooledBCG() *made {
	m := undrifting("AB")
	for i, k := range bcg {
		y := math.Log(k[0] / (k[0] + k[1]) / (k[2] / (k[2] + k[3])))
		v := 1/k[0] - 1/(k[0]+k[1]) + 1/k[2] - 1/(k[2]+k[3])
		id := fmt.Sprintf("trial %02d", i+1)
		m.session(id, "ABBA", func(place int, shoe string) float64 {
			log := math.Copysign(math.Sqrt(v/2), float64(place)-1.5)
			if shoe == "B" {
				log += y
			}
			return math.Exp(log)
		})
	}
	return m.each(func(o *Observation) { o.Runner = o.Session })
}

// TestPooledTrials: the published random-effects summary of the BCG trials (REML,
// Hartung-Knapp-Sidik-Jonkman; metafor's documentation, seven digits by R 4.2.2).
func TestPooledTrials(t *testing.T) {
	c := find(t, pooledBCG().run(), "B", "A")
	near(t, "estimate", c.LogEstimate, -0.714532342158139, 1e-8)
	near(t, "standard error", c.LogSE, 0.180791744092848, 1e-8)
	near(t, "degrees of freedom", c.DF, 12, 0)
	near(t, "tau", c.BetweenSD, 0.559681389842901, 1e-8)
	near(t, "low", math.Log(1+c.Low/100), -1.10844371368555, 1e-8)
	near(t, "high", math.Log(1+c.High/100), -0.320620970630728, 1e-8)
	near(t, "prediction low", math.Log(1+c.PredictionLow/100), -1.9960168341962, 1e-8)
	near(t, "prediction high", math.Log(1+c.PredictionHigh/100), 0.566952149879923, 1e-7)
	near(t, "p", c.P, 0.00192001509605729, 1e-6)
}

// TestPoolEqualsStats: what is pooled is each runner's own comparison, as it comes
// out for that runner alone.
func TestPoolEqualsStats(t *testing.T) {
	m := noisy(drifting("ABC"), 5, 0.01, "ABBACC", "BACCAB", "ABCCBA", "CABBAC", "BAAB", "ABBA").
		each(func(o *Observation) {
			o.Runner = map[string]string{"d1": "x", "d2": "x", "d3": "y", "d4": "y", "d5": "z", "d6": "z"}[o.Session]
		})
	pooled := find(t, m.run(), "B", "A")
	var y, v []float64
	for i, runner := range []string{"x", "y", "z"} {
		alone := m.copy()
		alone.blocks = nil
		for _, o := range m.blocks {
			if o.Runner == runner {
				alone.blocks = append(alone.blocks, o)
			}
		}
		c := find(t, alone.run(), "B", "A")
		y, v = append(y, c.LogEstimate), append(v, c.LogSE*c.LogSE)
		if got := pooled.PerRunner[i]; got.Runner != runner || got.Estimate != c.Estimate || got.Low != c.Low ||
			got.High != c.High || got.Model != c.Model {
			t.Errorf("%s: %+v, want that runner's own %v %v to %v", runner, got, c.Estimate, c.Low, c.High)
		}
	}
	want, err := stats.Pool(y, v, stats.PoolREML)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "estimate", pooled.LogEstimate, want.Safe.Value, 0)
	near(t, "standard error", pooled.LogSE, want.Safe.SE, 0)
	near(t, "degrees of freedom", pooled.DF, 2, 0)
	low, high := want.Prediction(want.Safe, 0.95)
	near(t, "prediction low", pooled.PredictionLow, 100*math.Expm1(low), 1e-12)
	near(t, "prediction high", pooled.PredictionHigh, 100*math.Expm1(high), 1e-12)
	if c := find(t, m.run(), "C", "A"); c.Runners != 2 || len(c.PerRunner) != 2 {
		t.Errorf("C was run by two of the three, not %d", c.Runners)
	}
}

// TestPoolWithoutIntervals: runners whose own difference has no interval cannot be
// pooled, and are named as left out where others can.
func TestPoolWithoutIntervals(t *testing.T) {
	m := undrifting("AB")
	value := func(place int, shoe string) float64 { return 4 + 0.1*float64(shoe[0]-'A') + 0.01*float64(place%2) }
	m.session("d1", "AB", value).session("d2", "AB", value)
	c := find(t, m.copy().each(func(o *Observation) { o.Runner = o.Session }).run(), "B", "A")
	if c.Model != DifferenceOnly || units.Known(c.Low) || c.Runners != 2 || len(c.PerRunner) != 2 {
		t.Errorf("%+v", c)
	}
	near(t, "plain mean", c.Estimate, 100*(4.11/4-1), 1e-10)
	m.session("d3", "ABBAAB", value).session("d4", "BAABBA", value)
	c = find(t, m.each(func(o *Observation) { o.Runner = o.Session }).run(), "B", "A")
	if c.Model != PooledRunners || c.Runners != 4 || !units.Known(c.Low) ||
		!strings.Contains(strings.Join(c.Notes, ";"), "2 runners without an interval are excluded") {
		t.Errorf("%s, notes %q", c.Model, c.Notes)
	}
}

// TestOneRunnerWithAnInterval: the interval of the only runner who has one is not
// lost to another who has none.
func TestOneRunnerWithAnInterval(t *testing.T) {
	both := noisy(undrifting("AB"), 5, 0.01, "ABBAAB", "AB").each(func(o *Observation) { o.Runner = o.Session })
	alone := both.copy()
	alone.blocks = alone.blocks[:6]
	got, want := find(t, both.run(), "B", "A"), find(t, alone.run(), "B", "A")
	if got.Low != want.Low || got.High != want.High || got.P != want.P || got.Model != OneSession {
		t.Errorf("%s %v to %v, alone %v to %v", got.Model, got.Low, got.High, want.Low, want.High)
	}
	if len(got.PerRunner) != 2 || !strings.Contains(strings.Join(got.Notes, ";"),
		`only runner "d1" has an interval;1 runner without an interval is excluded`) {
		t.Errorf("runners %v, notes %q", got.PerRunner, got.Notes)
	}
}

// TestLinkedByDifferentRunners: two shoes that each met the reference, but in
// different runners, are not compared with each other.
func TestLinkedByDifferentRunners(t *testing.T) {
	m := noisy(undrifting("ABC"), 3, 0.001, "ABBAAB", "ACCAAC").each(func(o *Observation) { o.Runner = o.Session })
	r := m.run()
	if c := find(t, r, "C", "B"); c.Model != NotComparable || units.Known(c.Estimate) || c.Runners != 2 {
		t.Errorf("C against B: %+v", c)
	}
}
