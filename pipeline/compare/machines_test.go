package compare

import (
	"fmt"
	"math"
	"testing"

	"soletrial/pipeline/trial"
)

// machines are the productivity scores of Milliken & Johnson (1992), Analysis of
// Messy Data, p. 285, as in Pinheiro & Bates (2000), section 1.3: three scores
// of each of six workers on each of the machines A, B and C. A machine plays the
// shoe, a worker the session.
var machines = [3][6][3]float64{
	{{52, 52.8, 53.1}, {51.8, 52.8, 53.1}, {60, 60.2, 58.4}, {51.1, 52.3, 50.3}, {50.9, 51.8, 51.4},
		{46.4, 44.8, 49.2}},
	{{62.1, 62.6, 64}, {59.7, 60, 59}, {68.6, 65.8, 69.7}, {63.2, 62.8, 62.2}, {64.8, 65, 65.4}, {43.7, 44.2, 43}},
	{{67.5, 67.2, 66.9}, {61.5, 61.7, 62.3}, {70.8, 70.6, 71}, {64.1, 66.2, 64}, {72.1, 72, 71.1}, {62, 61.4, 60.5}},
}

// machineTrial lays the scores out as comfort, which is analysed as it stands;
// keep chooses the scores, numbered from 1 in the order above.
func machineTrial(keep func(number, machine, worker int) bool) *made {
	m := undrifting("ABC")
	m.Facts.Method.Primary = "comfort"
	number := 0
	for machine := range machines {
		for worker, scores := range machines[machine] {
			for _, score := range scores {
				if number++; !keep(number, machine, worker+1) {
					continue
				}
				o := Observation{Session: fmt.Sprint("worker ", worker+1), Block: fmt.Sprint(number),
					Shoe: string(rune('A' + machine)), Order: number, Effort: trial.Power, Target: 270, MeanEffort: 270}
				for i := range o.Outcomes {
					o.Outcomes[i] = math.NaN()
				}
				o.Outcomes[trial.Comfort] = score
				m.blocks = append(m.blocks, o)
			}
		}
	}
	return m
}

func all(int, int, int) bool { return true }

// TestMachines checks the whole engine against R 4.2.2 (lme4, lmerTest; the REML
// equations solved to machine precision) on the scores and on parts of them.
func TestMachines(t *testing.T) {
	// Pinheiro & Bates 2000, section 1.3
	deleted := map[int]bool{
		2: true, 3: true, 6: true, 8: true, 9: true, 12: true, 19: true, 20: true, 27: true, 33: true,
	}
	missing := map[string]bool{"C1": true, "B3": true, "A5": true, "C6": true}
	pairs := map[string]bool{"A1": true, "B1": true, "A2": true, "C2": true, "B3": true, "C3": true, "A4": true,
		"B4": true, "A5": true, "C5": true, "B6": true, "C6": true}
	cell := func(machine, worker int) string { return fmt.Sprintf("%c%d", 'A'+machine, worker) }
	type contrast struct{ est, se, df, p float64 }
	for name, c := range map[string]struct {
		keep              func(number, machine, worker int) bool
		model             Model
		between, residual float64
		ba, ca, cb        contrast
	}{
		"balanced": {all, Mixed, 3.72953841515588, 0.961576637418792,
			contrast{7.96666666666666, 2.17697547579709, 10, 0.00439263267229153},
			contrast{13.9166666666667, 2.1769754757971, 10, 7.90648305105355e-05},
			contrast{5.95, 2.17697547579709, 10, 0.0210791397645767}},
		"unbalanced": {func(n, _, _ int) bool { return !deleted[n] }, Mixed, 3.77464406536683, 0.933086027166593,
			contrast{7.95835749236053, 2.21574273583775, 10.1975162665106, 0.00476468298061779},
			contrast{13.9097107358161, 2.21040798166816, 10.1024602744867, 8.59744712052486e-05},
			contrast{5.95135324345556, 2.20679001510576, 10.0372937429567, 0.0223661347371658}},
		"missing cells": {func(_, m, w int) bool { return !missing[cell(m, w)] }, Mixed, 3.40501821287088,
			0.915605446321359,
			contrast{6.2, 2.29720540119966, 6, 0.0356266138886139},
			contrast{10.8142857142857, 2.53139706119695, 6, 0.00525116453189296},
			contrast{4.61428571428573, 2.53139706119698, 6, 0.11815748785789}},
		"two of three each": {func(_, m, w int) bool { return pairs[cell(m, w)] }, Mixed, 4.9718326973431,
			0.852447456836297,
			contrast{8.78888888888891, 4.0793253194281, 4, 0.0974887588875714},
			contrast{16.911111111111, 4.07932531942818, 4, 0.0143116868360577},
			contrast{8.12222222222208, 4.07932531942819, 4, 0.117307119430869}},
		"two sessions": {func(_, _, w int) bool { return w <= 2 }, Mixed, 1.85681926362739, 0.616891850777391,
			contrast{8.63333333333333, 1.89066909575145, 2, 0.0447637418956187},
			contrast{11.9166666666667, 1.89066909575145, 2, 0.0242599511510346},
			contrast{3.28333333333333, 1.89066909575144, 2, 0.224591713326991}},
		"one session": {func(_, _, w int) bool { return w == 1 }, OneSession, math.NaN(), 0.679051626248777,
			contrast{10.2666666666667, 0.554443331105538, 6, 1.59988682697437e-06},
			contrast{14.5666666666667, 0.554443331105538, 6, 2.00640109370227e-07},
			contrast{4.3, 0.554443331105538, 6, 0.000241604906357634}},
	} {
		t.Run(name, func(t *testing.T) {
			r := machineTrial(c.keep).run()
			for pair, want := range map[string]contrast{"BA": c.ba, "CA": c.ca, "CB": c.cb} {
				got := findIn(t, r, trial.Comfort, "power 270", pair[:1], pair[1:])
				if got.Model != c.model {
					t.Errorf("model %s, want %s", got.Model, c.model)
				}
				near(t, pair+" estimate", got.LogEstimate, want.est, 1e-12)
				near(t, pair+" in points", got.Estimate, want.est, 1e-12)
				near(t, pair+" standard error", got.LogSE, want.se, 1e-8)
				near(t, pair+" degrees of freedom", got.DF, want.df, 1e-6)
				near(t, pair+" p", got.P, want.p, 1e-7)
				near(t, pair+" between", got.BetweenSD, c.between, 1e-8)
				near(t, pair+" residual", got.ResidualSD, c.residual, 1e-8)
			}
		})
	}
}

// TestMachineMeans: one block of each shoe in each session. Least squares on the
// means of the scores gives the contrasts and degrees of freedom of the balanced
// mixed model (R 4.2.2, lm).
func TestMachineMeans(t *testing.T) {
	m := machineTrial(func(number, _, _ int) bool { return number%3 == 1 }).each(func(o *Observation) {
		worker := int(o.Session[len("worker ")] - '1')
		s := machines[o.Shoe[0]-'A'][worker]
		o.Outcomes[trial.Comfort] = (s[0] + s[1] + s[2]) / 3
	})
	got := findIn(t, m.run(), trial.Comfort, "power 270", "C", "B")
	if got.Model != LeastSquares || !got.acrossSessions {
		t.Errorf("model %s, holds days %v", got.Model, got.acrossSessions)
	}
	near(t, "estimate", got.Estimate, 5.95, 1e-12)
	near(t, "standard error", got.LogSE, 2.17697547579715, 1e-12)
	near(t, "degrees of freedom", got.DF, 10, 0)
	near(t, "p", got.P, 0.0210791397645815, 1e-9)
	near(t, "residual", got.ResidualSD, 3.77063213091209, 1e-12)
}

// TestMachinesWithDrift: the unbalanced scores with an artificial covariate as the
// clock (R 4.2.2, lmerTest).
func TestMachinesWithDrift(t *testing.T) {
	positions := [3][3]float64{{0, 0.5, 0.6}, {0.1, 0.4, 0.7}, {0.2, 0.3, 0.8}}
	deleted := map[int]bool{2: true, 3: true, 6: true, 8: true, 9: true, 12: true, 19: true, 20: true, 27: true,
		33: true}
	m := machineTrial(func(n, _, _ int) bool { return !deleted[n] })
	m.Facts.Method.Drift = trial.DriftLinear
	m.each(func(o *Observation) {
		o.Midpoint = 3600 * positions[o.Shoe[0]-'A'][(o.Order-1)%3]
	})
	r := m.run()
	for pair, want := range map[string][3]float64{
		"BA": {8.01881172204801, 2.22154634202769, 10.2490755367007},
		"CA": {13.9817021675586, 2.21723291977412, 10.1731417358261},
		"CB": {5.96289044551064, 2.2095805663236, 10.0364823955853},
	} {
		got := findIn(t, r, trial.Comfort, "power 270", pair[:1], pair[1:])
		near(t, pair+" estimate", got.Estimate, want[0], 1e-8)
		near(t, pair+" standard error", got.LogSE, want[1], 1e-8)
		near(t, pair+" degrees of freedom", got.DF, want[2], 1e-6)
		near(t, pair+" drift per hour", got.DriftPerHour, -0.319078753915433, 1e-7)
		near(t, pair+" its error", got.DriftSE, 0.592577940636785, 1e-7)
		near(t, pair+" tipping drift", got.TippingDrift, math.NaN(), 0)
	}
}

// TestLogScale: the same scores as logarithms of a speed give the same analysis,
// reported in percent.
func TestLogScale(t *testing.T) {
	m := machineTrial(all)
	m.Facts.Method.Primary = "speed"
	m.each(func(o *Observation) { o.Outcomes[trial.Speed] = math.Exp(o.Outcomes[trial.Comfort] / 1000) })
	got := find(t, m.run(), "B", "A")
	near(t, "log estimate", got.LogEstimate, 0.00796666666666666, 1e-10)
	near(t, "log standard error", got.LogSE, 0.00217697547579709, 1e-9)
	near(t, "estimate", got.Estimate, 100*(math.Exp(0.00796666666666666)-1), 1e-10)
	near(t, "low", got.Low, 100*(math.Exp(0.00311606302922193)-1), 1e-8)
	near(t, "high", got.High, 100*(math.Exp(0.0128172703041114)-1), 1e-8)
}
