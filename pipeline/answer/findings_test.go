package answer

import (
	"math"
	"slices"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

func findings(t *testing.T, in Inputs) (found []trial.Finding, doubts []string, a *Answers) {
	t.Helper()
	a, e, g := decided(t, in)
	a.Robustness(in, 1)
	return a.Findings(in.Dataset), NewSpeaker(in.Dataset, a).Say(e, g).Doubts, a
}

func ofRule(found []trial.Finding, rule trial.RuleSlug) (some []trial.Finding) {
	for _, f := range found {
		if f.Rule == rule {
			some = append(some, f)
		}
	}
	return some
}

// Heart rate 4 % higher in the faster shoe is a finding of the dataset; 4 % lower, no
// difference, and 4 % higher in the slower shoe are none.
func TestHeartByShoe(t *testing.T) {
	for _, c := range []struct {
		name  string
		heart map[string]float64
		fires bool
	}{
		{"higher in the faster shoe", map[string]float64{"birch": 0.04}, true},
		{"lower in the faster shoe", map[string]float64{"birch": -0.04}, false},
		{"no different", nil, false},
		{"higher in the slower shoe", map[string]float64{"alder": 0.04}, false},
	} {
		in := field{orders: times(3, abba...), advantage: map[string]float64{"birch": 0.03}, heart: c.heart,
			noise:  0.004,
			source: onFoot}.inputs()
		all, doubts, a := findings(t, in)
		found := ofRule(all, quality.HeartByShoe)
		if len(found) > 0 != c.fires {
			t.Errorf("%s: %+v", c.name, found)
			continue
		}
		told := slices.Contains(doubts, "Heart rate was higher in Birch than in Alder: it may have been run harder.")
		if told != c.fires {
			t.Errorf("%s: doubts %q", c.name, doubts)
		}
		if !c.fires {
			continue
		}
		f, p := found[0], a.Efforts[0].Heart
		higher := Size(p.Pair(p.Shoe("alder"), p.Shoe("birch"), decide.Sensor{}).D.Mean)
		if f.Session != "" || f.Block != "" || f.Severity != trial.Warn || f.Value < 97.5 || f.Limit != 97.5 ||
			f.At.File != "dataset.yaml" || f.Message != "heart rate at the same power was "+higher+
			" higher in birch, the faster shoe, than in alder (chance over 99 %)" {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
	in := field{orders: times(3, abba...), advantage: map[string]float64{"birch": 0.03}, heart: map[string]float64{
		"birch": 0.04}, noise: 0.004, source: onFoot}.inputs()
	for i := range in.Blocks {
		in.Blocks[i].Windows[0].HeartRate = math.NaN()
	}
	if all, _, _ := findings(t, in); len(ofRule(all, quality.HeartByShoe)) > 0 {
		t.Error("a finding without heart rate")
	}
}

// birch is 1.6 % faster over three sessions but for one block of alder that went 12 % too
// fast: without it the answer is another one. With the block as the others nothing decides.
func TestOneBlockDecides(t *testing.T) {
	for _, wild := range []float64{0.12, 0} {
		in := field{orders: times(3, abba...), advantage: map[string]float64{"birch": 0.016}, noise: 0.003,
			source: offFoot}.inputs()
		for i := range in.Blocks {
			if b := &in.Blocks[i]; b.Session == "day-2" && b.ID == "3" { // B A [A] B
				for w := range b.Windows {
					b.Windows[w].Speed *= math.Exp(wild)
				}
			}
		}
		all, doubts, a := findings(t, in)
		found := ofRule(all, quality.OneBlockDecides)
		if wild == 0 {
			if len(found) > 0 {
				t.Errorf("nothing is wild: %+v", found)
			}
			continue
		}
		if len(found) != 1 {
			_, g := a.Top()
			t.Fatalf("%d findings, status %s", len(found), g.Status)
		}
		f := found[0]
		if f.Session != "day-2" || f.Block != "3" || f.Severity != trial.Warn ||
			f.At.File != "sessions/day-2/blocks.csv" || f.At.Line != 4 ||
			f.Message != "without it the answer at the same power changes: birch would be the best" {
			t.Errorf("%+v", f)
		}
		const want = "Block 3 of day-2 decides: without it Birch would be the best."
		if !slices.Contains(doubts, want) {
			t.Errorf("doubts %q lack %q", doubts, want)
		}
	}
}

// By hand: of the analyses below, three leave a block out, two of which change the answer; the
// one that moves the estimate most is named, a change of leader by the sum of both.
func TestDecisive(t *testing.T) {
	published := decide.Variant{Window: decide.PublishedWindow, Drift: decide.StraightDrift,
		Exponent: decide.MeanExponent}
	without := func(block string) decide.Variant {
		v := published
		v.LeftOutSession, v.LeftOutBlock = "s", block
		return v
	}
	lead := func(log float64) decide.Difference { return decide.Difference{Mean: log} }
	e := &Effort{Settings: decide.Settings{Drift: decide.StraightDrift}}
	g := &Group{Analyses: []decide.Analysis{
		{Variant: published, Status: decide.Fastest, Leader: "a", Lead: lead(0.02)},
		{Variant: without("1"), Status: decide.Open, Leader: "a", Lead: lead(0.005)},
		{Variant: without("2"), Status: decide.Fastest, Leader: "a", Lead: lead(0.05)},
		{Variant: without("3"), Status: decide.Fastest, Leader: "b", Lead: lead(0.01)},
	}}
	d := e.Decisive(g)
	if d == nil || d.Name() != "block 3 of s" || d.Others != 1 || d.Without.Leader != "b" {
		t.Errorf("%+v", d)
	}
	g.Analyses[0].Status = decide.Open
	g.Analyses[0].Variant.Drift = decide.NoDrift
	if d := e.Decisive(g); d != nil {
		t.Errorf("without the published analysis: %+v", d)
	}
}
