package answer

import (
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// harder multiplies what was held in birch.
func harder(in Inputs, by float64) Inputs {
	for i := range in.Blocks {
		for w := range in.Blocks[i].Windows {
			if in.Blocks[i].Shoe == "birch" {
				in.Blocks[i].Windows[w].Effort *= by
			}
		}
	}
	return in
}

// By hand, with the exponent fixed at 0.9: birch was run at 2 % more power, so the correction
// takes 0.9 ln(1.02) off its lead in every session that has both; a session of one shoe alone
// has no say. At the same pace 2 % less time for a kilometre is a faster run, and what it takes off
// heart rate speaks for the shoe.
func TestAdjustmentByHand(t *testing.T) {
	f := field{orders: []string{"ABBA", "BAAB", "AA"}, advantage: map[string]float64{"birch": 0.03}, noise: 0.003,
		source: offFoot, method: func(m *trial.Method) { m.PowerExponent = 0.9 }}
	_, e, g := decided(t, harder(f.inputs(), 1.02))
	near(t, "power", e.Adjustment(g.Lead), -0.9*math.Log(1.02), 1e-12)
	near(t, "what is left", g.Lead.D.Mean, 0.03-0.9*math.Log(1.02), 0.003)
	_, e, g = decided(t, f.inputs())
	near(t, "even efforts", e.Adjustment(g.Lead), 0, 1e-15)

	pace := field{effort: trial.Pace, orders: times(3, abba...), heart: map[string]float64{"birch": -0.02},
		noise:  0.003,
		source: offFoot}
	_, e, g = decided(t, harder(pace.inputs(), 1/1.02))
	if g.Places[0].Shoe != "birch" {
		t.Fatalf("%s first", g.Places[0].Shoe)
	}
	near(t, "pace", e.Adjustment(g.Lead), e.Posterior.Spreads.K.Mean*math.Log(1.02), 1e-12)
}

// An answer of which more than half rests on the correction for equal effort says so.
func TestAnswerThatRestsOnTheCorrectionSaysSo(t *testing.T) {
	const rests = "The shoes were not run at quite the same effort"
	for by, want := range map[float64]bool{0.98: true, 0.995: false} {
		f := field{orders: times(3, abba...), advantage: map[string]float64{"birch": 0.005}, noise: 0.003,
			source: offFoot}
		in := harder(f.inputs(), by)
		a, e, g := decided(t, in)
		if g.Places[0].Shoe != "birch" {
			t.Fatalf("%s first", g.Places[0].Shoe)
		}
		said := slices.ContainsFunc(NewSpeaker(in.Dataset, a).Say(e, g).Doubts,
			func(s string) bool { return strings.HasPrefix(s, rests) })
		if said != want {
			t.Errorf("held %g: told %v, %+v, moved by %g", by, said, g.Lead.D.Mean, e.Adjustment(g.Lead))
		}
	}
}

// What would make the evidence stronger is something to do, and says how much of it. By hand: one
// session lacks one more session, each shoe the blocks that it has fewer than four of and, at the same
// power without heart rate, another effort.
func TestStrongerIsSomethingToDo(t *testing.T) {
	for order, blocks := range map[string]string{
		"ABBA":    "run 2 more blocks in Birch and 2 in Alder",
		"BABBAB":  "run 2 more blocks in Alder",
		"AABAA":   "run 3 more blocks in Birch",
		"ABBABBA": "run 1 more block in Alder",
	} {
		in := field{orders: []string{order}, advantage: map[string]float64{"birch": 0.03}, noise: 0.003,
			source: offFoot}.inputs()
		for i := range in.Blocks {
			in.Blocks[i].Windows[0].HeartRate = math.NaN()
		}
		a, _, g := decided(t, in)
		stronger := NewSpeaker(in.Dataset, a).Stronger(g.Lead)
		if g.Lead.Evidence != decide.Thin || len(stronger) != 3 {
			t.Fatalf("%s: %s: %q", order, g.Lead.Evidence, stronger)
		}
		if !strings.Contains(stronger[0], "1 more session") || stronger[1] != blocks ||
			!strings.Contains(stronger[2], "pace or heart rate") {
			t.Errorf("%s: %q, not %q", order, stronger, blocks)
		}
	}
}

// By hand: how large an error of a sensor in the leading shoe alone would make the whole of a
// difference of 2 % stands first among the doubts. Power that reads low by p is harder to run by p
// and, by the exponent 0.90, faster by 0.90 p: 1.02^(1/0.90) is 1.022. A pace that reads fast by p is
// slower to run and, by 0.70, lower in heart rate by 0.70 p: 1.02^(1/0.70) is 1.029. Where no sensor is
// on the shoe nothing is said.
func TestSensorErrorBesideEveryAnswer(t *testing.T) {
	faster, lower := map[string]float64{"birch": math.Log(1.02)}, map[string]float64{"birch": -math.Log(1.02)}
	for _, c := range []struct {
		field field
		power Source
		want  string
	}{
		{field{effort: trial.Power, advantage: faster, source: onFoot}, onFoot,
			"A sensor that reads 2.0 % fast in Birch alone, or power that reads low there, " +
				"would make the whole difference."},
		{field{effort: trial.Power, advantage: faster, source: onFoot}, offFoot,
			"A sensor that reads 2.0 % fast in Birch alone would make the whole difference."},
		{field{effort: trial.Power, advantage: faster, source: offFoot}, onFoot,
			"Power that reads 2.2 % low in Birch alone would make the whole difference."},
		{field{effort: trial.Pace, heart: lower, source: onFoot}, onFoot,
			"A sensor that reads 2.9 % fast in Birch alone would make the whole difference."},
		{field{effort: trial.HeartRate, advantage: faster, source: onFoot}, onFoot,
			"A sensor that reads 2.0 % fast in Birch alone would make the whole difference."},
		{field{effort: trial.Power, advantage: faster, source: offFoot}, offFoot, ""},
	} {
		c.field.orders = abba
		in := c.field.inputs()
		for i := range in.Blocks {
			in.Blocks[i].Power = c.power
		}
		a, e, g := decided(t, in)
		doubts := NewSpeaker(in.Dataset, a).Say(e, g).Doubts
		if c.want != "" && doubts[0] != c.want || c.want == "" && strings.Contains(doubts[0], "whole difference") {
			t.Errorf("%s: %q, want %q first", c.field.effort, doubts, c.want)
		}
	}
}
