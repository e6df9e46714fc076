package derive_test

import (
	"math"
	"strings"
	"testing"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The oracle of this file is arithmetic, written out beside each case.

// A B B A at exactly the target: ln(4.04/4.00) = ln 1.01 = 0.00995033085, and
// nothing is left over.
func TestABBA(t *testing.T) {
	r := lab{sessions: []labSession{{blocks: worn("ABBA", 4, 4.04, 4.04, 4)}}}.derive(t)
	c := speed(t, r, "b", "a")
	near(t, "log estimate", c.LogEstimate, 0.00995033085, 1e-11)
	near(t, "estimate", c.Estimate, 1, 1e-9)
	near(t, "standard error", c.LogSE, 0, 1e-9)
	near(t, "drift", c.DriftPerHour, 0, 1e-6)
	if c.Model != compare.OneSession || c.DF != 1 || c.Sessions != 1 || c.Blocks != 4 {
		t.Errorf("model %s with %v df from %d sessions and %d blocks; want one_session, 4 blocks - 2 shoes - 1 drift "+
			"= 1, 1, 4", c.Model, c.DF, c.Sessions, c.Blocks)
	}
	row := "speed,percent,power,250,one_session,b,a,1,1,4,0.009950331,"
	if !strings.Contains(table(r, "comparisons.csv"), "\n"+row) {
		t.Errorf("comparisons.csv lacks a row that begins %q", row)
	}
}

// Two blocks of each, without a drift: means of logarithms, the pooled variance of
// two and two with 2 df, and Student's t with 2 df in closed form,
// (2p-1)/sqrt(2p(1-p)) (from memory).
func TestIntervalOfTwoAndTwo(t *testing.T) {
	r := lab{method: "  drift: none\n", sessions: []labSession{{blocks: worn("ABBA", 4, 4.04, 4.12, 4.08)}}}.derive(t)
	c := speed(t, r, "b", "a")
	a1, a2, b1, b2 := math.Log(4), math.Log(4.08), math.Log(4.04), math.Log(4.12)
	want := (b1+b2)/2 - (a1+a2)/2
	variance := ((a2-a1)*(a2-a1)/2 + (b2-b1)*(b2-b1)/2) / 2
	se := math.Sqrt(variance * (1.0/2 + 1.0/2))
	quantile := 0.95 / math.Sqrt(2*0.975*0.025)
	near(t, "log estimate", c.LogEstimate, want, 1e-13)
	near(t, "standard error", c.LogSE, se, 1e-13)
	near(t, "df", c.DF, 2, 0)
	near(t, "estimate", c.Estimate, 100*math.Expm1(want), 1e-10)
	near(t, "low", c.Low, 100*math.Expm1(want-quantile*se), 1e-9)
	near(t, "high", c.High, 100*math.Expm1(want+quantile*se), 1e-9)
	near(t, "residual SD", c.ResidualSD, math.Sqrt(variance), 1e-13)
}

// Power 2 % over the target and speed 2 % up is no difference at equal effort; with
// the exponent at 0 it is 2 %, and then nothing was adjusted.
func TestEqualEffortAtHeldPower(t *testing.T) {
	blocks := worn("ABBA", 4, 4.08, 4.08, 4)
	blocks[1].power, blocks[2].power = 255, 255
	c := speed(t, lab{method: "  power_exponent: 1\n", sessions: []labSession{{blocks: blocks}}}.derive(t), "b", "a")
	near(t, "at equal effort", c.Estimate, 0, 1e-9)
	near(t, "adjustment", c.Adjustment, -2, 1e-9)
	c = speed(t, lab{method: "  power_exponent: 0\n", sessions: []labSession{{blocks: blocks}}}.derive(t), "b", "a")
	near(t, "as measured", c.Estimate, 2, 1e-9)
	if units.Known(c.Adjustment) {
		t.Errorf("adjustment %v, want none", c.Adjustment)
	}
	c = speed(t, lab{method: "  power_exponent: 0.5\n", sessions: []labSession{{blocks: blocks}}}.derive(t), "b", "a")
	near(t, "half adjusted", c.LogEstimate, math.Log(1.02)/2, 1e-12)
}

// Pace is the inverse of speed, so its difference and its adjustment have the
// other sign.
func TestPaceMirrorsSpeed(t *testing.T) {
	blocks := worn("ABBA", 4, 4.05, 4.07, 4.01)
	blocks[1].power, blocks[3].power = 252, 249
	r := lab{sessions: []labSession{{blocks: blocks}}}.derive(t)
	pace, speed := of(t, r, trial.PacePerKm, "power 250", "b", "a"), speed(t, r, "b", "a")
	near(t, "pace", pace.LogEstimate, -speed.LogEstimate, 1e-12)
	near(t, "its error", pace.LogSE, speed.LogSE, 1e-12)
}

// At the same pace the heart rate is compared, and a block run 1 % fast with a heart rate
// 0.7 % up is no difference, by the exponent of the prior. At the same heart rate speed is
// adjusted by the exponent 1.4, and with all blocks held alike nothing moves.
func TestOtherEfforts(t *testing.T) {
	blocks := worn("ABBA", 4, 4.04, 4.04, 4)
	up := math.Pow(1.01, 0.7)
	for i, heart := range []float64{150, 150 * up, 150 * up, 150} {
		// one shoe up late as much as the other, so that there is a spread
		blocks[i].heart = heart * (1 + 0.0001*float64(i/2))
	}
	r := lab{sessions: []labSession{{facts: "effort: pace\ntarget: 4:10\n", blocks: blocks}}}.derive(t)
	c := of(t, r, trial.Heart, "pace 4:10", "b", "a")
	near(t, "heart rate at the same pace", c.LogEstimate, 0, 1e-12)
	near(t, "adjustment", c.Adjustment, 100*(1-up), 1e-9)
	if got := of(t, r, trial.Speed, "pace 4:10", "b", "a"); units.Known(got.PAdjusted) || !units.Known(c.PAdjusted) {
		t.Errorf("adjusted p values: speed %v, heart rate %v; want one of the primary outcome only", got.PAdjusted,
			c.PAdjusted)
	}
	r = lab{sessions: []labSession{{facts: "effort: heart_rate\ntarget: 150\n", blocks: blocks}}}.derive(t)
	c = of(t, r, trial.Speed, "heart_rate 150", "b", "a")
	near(t, "speed at the same heart rate", c.LogEstimate, math.Log(1.01)-1.4*math.Log(up), 1e-12)
}

// One block of each shoe: the difference alone, every measure of doubt blank.
func TestDifferenceOnly(t *testing.T) {
	r := lab{sessions: []labSession{{blocks: worn("AB", 4, 4.04)}}}.derive(t)
	c := speed(t, r, "b", "a")
	near(t, "estimate", c.Estimate, 1, 1e-9)
	if c.Model != compare.DifferenceOnly || c.Evidence != compare.NoEvidence || units.Known(c.LogSE) ||
		units.Known(c.Low) || units.Known(c.P) {
		t.Errorf("%s with evidence %s, standard error %v, low %v, p %v", c.Model, c.Evidence, c.LogSE, c.Low, c.P)
	}
	if row := "speed,percent,power,250,difference_only,b,a,1,1,2,0.009950331,,,1.0000,,,,,,," +
		""; !strings.Contains(table(r, "comparisons.csv"), "\n"+row) {
		t.Errorf("comparisons.csv lacks a row that begins %q", row)
	}
}

// A and B were never run in one session, nor linked through others; once C links
// them they are compared.
func TestLinked(t *testing.T) {
	apart := lab{sessions: []labSession{{blocks: worn("AACC", 4, 4, 4.08, 4.08)},
		{blocks: worn("BBDD", 4.04, 4.04, 4, 4)}}}
	r := apart.derive(t)
	c := speed(t, r, "b", "a")
	if c.Model != compare.NotComparable || units.Known(c.Estimate) || c.Sessions != 2 || c.Blocks != 4 {
		t.Errorf("%s: estimate %v from %d sessions and %d blocks, want none", c.Model, c.Estimate, c.Sessions, c.Blocks)
	}
	if row := "speed,percent,power,250,not_comparable,b,a,1,2,4,,,,,,,,,,,,,,none,,"; !strings.Contains(
		table(r, "comparisons.csv"),
		"\n"+row) {
		t.Errorf("comparisons.csv lacks a row that begins %q", row)
	}
	linked := apart
	linked.method = "  drift: none\n"
	linked.sessions = append(linked.sessions, labSession{blocks: worn("BC", 4.04, 4.08)})
	c = speed(t, linked.derive(t), "b", "a")
	if c.Model == compare.NotComparable {
		t.Fatal("not comparable although a third shoe links them")
	}
	near(t, "through the third shoe", c.LogEstimate, math.Log(1.01), 1e-9)
}

// Blocks are compared with blocks of the same target only.
func TestLevels(t *testing.T) {
	blocks := worn("ABABBABA", 4, 4.04, 4.4, 4.4, 4.04, 4, 4.4, 4.4)
	for _, i := range []int{2, 3, 6, 7} {
		blocks[i].target, blocks[i].power = "300", 300
	}
	r := lab{method: "  drift: none\n", sessions: []labSession{{blocks: blocks}}}.derive(t)
	near(t, "at 250 W", speed(t, r, "b", "a").Estimate, 1, 1e-9)
	near(t, "at 300 W", of(t, r, trial.Speed, "power 300", "b", "a").Estimate, 0, 1e-9)
}

// A block left out by hand is out, one that a stop holds is out, and an override
// lets it back in.
func TestWhatTakesPart(t *testing.T) {
	blocks := worn("ABBA", 4, 4.04, 4.04, 4.4)
	blocks[3].include = "no,lost count"
	out := lab{sessions: []labSession{{blocks: blocks}}}.derive(t)
	near(t, "left out by hand", speed(t, out, "b", "a").Estimate, 1, 1e-9)
	if b := out.Sessions[0].Blocks[3]; b.Included || b.Reason != "lost count" {
		t.Errorf("block 4: included %v, reason %q", b.Included, b.Reason)
	}
	blocks[3].include, blocks[3].power = "", 320 // 28 % over: effort-off stops at 15 %
	held := lab{method: "  power_exponent: 0\n", sessions: []labSession{{blocks: blocks}}}
	r := held.derive(t)
	near(t, "held by a stop", speed(t, r, "b", "a").Estimate, 1, 1e-9)
	if b := r.Sessions[0].Blocks[3]; b.Included || b.Reason != "excluded by effort-off" {
		t.Errorf("block 4: included %v, reason %q", b.Included, b.Reason)
	}
	held.sessions[0].facts = "effort: power\n" +
		"target: 250\n" +
		"overrides: [{rule: effort-off, block: \"4\", reason: it was meant}]\n"
	held.method = "  power_exponent: 0\n  drift: none\n"
	r = held.derive(t)
	near(t, "let back in", speed(t, r, "b", "a").LogEstimate, math.Log(4.04)-(math.Log(4)+math.Log(4.4))/2, 1e-12)
	if b := r.Sessions[0].Blocks[3]; !b.Included || b.Reason != "effort-off overridden: it was meant" {
		t.Errorf("block 4: included %v, reason %q", b.Included, b.Reason)
	}
}

// Several sessions that agree in every difference: the estimate is that difference,
// session by session and to date, and a session's own level cancels.
func TestSessionsToDate(t *testing.T) {
	r := lab{sessions: []labSession{
		{blocks: worn("ABBA", 4, 4.04, 4.04, 4)}, {blocks: worn("BAAB", 3.8380, 3.8, 3.8, 3.8380)},
		{blocks: worn("AB", 4.2, 4.242)},
	}}.derive(t)
	near(t, "all", speed(t, r, "b", "a").Estimate, 1, 1e-8)
	seen := 0
	for _, s := range r.Compare.Sessions {
		if s.Outcome == trial.Speed {
			seen++
			near(t, s.Session, s.Estimate, 1, 1e-8)
			near(t, s.Session+" to date", s.ToDate, 1, 1e-8)
		}
	}
	if seen != 3 {
		t.Errorf("%d sessions with a comparison in speed, want 3", seen)
	}
}
