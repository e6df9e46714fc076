package answer

import (
	"math"
	"reflect"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// By hand, from a trim of 60 s (180 s for heart rate) and 15 s: the window moves by at most
// 30 s, and no further than the trims allow.
func TestWindows(t *testing.T) {
	published := trial.Trim{HeadS: 60, HeartRateHeadS: 180, TailS: 15}
	for window, want := range map[decide.Window]trial.Trim{
		decide.PublishedWindow: published,
		decide.EarlierWindow:   {HeadS: 30, HeartRateHeadS: 150, TailS: 45},
		decide.LaterWindow:     {HeadS: 75, HeartRateHeadS: 195, TailS: 0},
		decide.ShorterWindow:   {HeadS: 90, HeartRateHeadS: 210, TailS: 45},
		decide.LapsWindow:      {HeadS: 60, HeartRateHeadS: 180, TailS: 15, Laps: trial.WholeLaps},
	} {
		if got := TrimOf(window, published); got != want {
			t.Errorf("%s: %+v, want %+v", window, got, want)
		}
	}
	short := trial.Trim{HeadS: 10, HeartRateHeadS: 20, TailS: 60, Laps: trial.WholeLaps}
	if got, want := TrimOf(decide.EarlierWindow, short), (trial.Trim{HeadS: 0, HeartRateHeadS: 10, TailS: 70,
		Laps: trial.WholeLaps}); got != want {
		t.Errorf("earlier than a trim of 10 s: %+v, want %+v", got, want)
	}
	if got := TrimOf(decide.LapsWindow, short); got.Laps != "" {
		t.Errorf("the other choice than whole laps is %+v", got)
	}
}

// The windows, drifts and exponents crossed are 60 analyses; 8 blocks left out one by one make
// 68; the analysis without assumptions counts as one more. A published choice gives the answer
// itself, to the coarser integration.
func TestRobustness(t *testing.T) {
	in := field{orders: abba, advantage: map[string]float64{"birch": 0.03}, noise: 0.004, source: offFoot}.inputs()
	in.WithoutAssumptions = []Compared{{Effort: trial.Power, Shoe: "alder", Reference: "birch", Estimate: 0.1},
		{Effort: trial.Pace, Shoe: "birch", Reference: "alder"}}
	a, e, g := decided(t, in)
	if same, of := g.SameLeader(); of != 0 || same != 0 {
		t.Errorf("before the analyses: %d of %d", same, of)
	}
	a.Robustness(in, 1)
	if len(g.Analyses) != 68 {
		t.Fatalf("%d analyses", len(g.Analyses))
	}
	if same, of := g.SameLeader(); same != 68 || of != 69 {
		t.Errorf("the leader is the same in %d of %d, want 68 of 69", same, of)
	}
	near(t, "the published choice", e.publishedAnalysis(g).Lead.Mean, g.Lead.D.Mean, 1e-4)
	near(t, "robust share", g.Lead.testing.Robust, 68./69, 1e-12)
	again, _, other := decided(t, in)
	again.Robustness(in, 4)
	if !reflect.DeepEqual(other.Analyses, g.Analyses) {
		t.Error("more workers changed the analyses")
	}
}

// A window in which the shoes go the other way gives another leader.
func TestRobustnessSeesTheWindows(t *testing.T) {
	in := field{orders: times(2, abba...), advantage: map[string]float64{"birch": 0.03}, noise: 0.003,
		source: offFoot}.inputs()
	later := 2 // the place of the later window among decide.Windows
	for i := range in.Blocks {
		if in.Blocks[i].Shoe == "birch" {
			in.Blocks[i].Windows[later].Speed *= math.Exp(-0.06)
		}
	}
	a, _, g := decided(t, in)
	a.Robustness(in, 1)
	if same, of := g.SameLeader(); of-same != 12 {
		t.Errorf("another leader in %d of %d analyses, want the 12 of one window", of-same, of)
	}
}

// The path has a point after each session, the last is the answer, and each is what the
// sessions up to it say.
func TestProgress(t *testing.T) {
	in := field{orders: times(2, abba...), advantage: map[string]float64{"birch": 0.03}, noise: 0.004,
		source: offFoot}.inputs()
	_, e, g := decided(t, in)
	path := e.Progress(in, 1)
	if len(path) != 4 || path[0].Session != "day-1" || path[3].Session != "day-4" || path[3].Date != "2026-05-04" {
		t.Fatalf("%+v", path)
	}
	for i, p := range path[3].Places {
		if p.Best != g.Places[i].Best || p.Against != g.Places[i].Against {
			t.Errorf("the last point has %+v, the answer %+v", p, g.Places[i])
		}
	}
	first := in
	first.Blocks = in.Blocks[:4]
	_, _, alone := decided(t, first)
	if path[0].Places[0].Best != alone.Places[0].Best {
		t.Errorf("after the first session %g, that session alone %g", path[0].Places[0].Best, alone.Places[0].Best)
	}
	if !reflect.DeepEqual(e.Progress(in, 3), path) {
		t.Error("more workers changed the path")
	}
}

// By hand: 7 of 3 are after the second, fourth and last (7/3 = 2.33, 4.67, 7); few are all.
func TestSpread(t *testing.T) {
	for _, c := range []struct {
		n, most int
		want    []int
	}{{7, 3, []int{1, 3, 6}}, {3, 60, []int{0, 1, 2}}, {1, 60, []int{0}}} {
		if got := spread(c.n, c.most); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%d of %d: %v, want %v", c.most, c.n, got, c.want)
		}
	}
	if many := spread(3000, maxPoints); len(many) != maxPoints || many[len(many)-1] != 2999 {
		t.Errorf("of 3000: %v", many)
	}
}
