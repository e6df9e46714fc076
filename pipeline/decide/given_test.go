package decide

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// randomBlocks draws an untidy trial: levels, missing shoes, several runners.
func randomBlocks(t *rapid.T) []Block {
	sessions, shoes := rapid.IntRange(1, 5).Draw(t, "sessions"), rapid.IntRange(2, 4).Draw(t, "shoes")
	runners, levels := rapid.IntRange(1, 3).Draw(t, "runners"), rapid.IntRange(1, 2).Draw(t, "levels")
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7))
	var blocks []Block
	for s := range sessions {
		for i := range rapid.IntRange(2, 7).Draw(t, "blocks") {
			blocks = append(blocks, Block{
				Session: "s" + strconv.Itoa(s), Level: strconv.Itoa(r.IntN(levels)), Runner: "r" +
					strconv.Itoa(s%runners),
				Shoe: string(rune('A' + r.IntN(shoes))), Y: 1.4 + 0.01*r.NormFloat64(), TimeH: 0.13 * float64(i),
				X: 0.005 * r.NormFloat64(),
			})
		}
	}
	return blocks
}

// dense is the model written out: one column for every α, β, γ, k, w and u, with the prior
// precisions of the random ones, solved by gonum.
type dense struct {
	logDensity float64
	mean       *mat.VecDense
	cov        *mat.Dense
	names      map[string]int
}

func solveDense(blocks []Block, s Settings, d *design, sigma, tau, omega float64) dense {
	names, precision, flat := map[string]int{}, []float64{}, map[string]bool{}
	column := func(name string, sd float64) int {
		if _, seen := names[name]; !seen {
			names[name] = len(precision)
			p := 0.0
			if !math.IsInf(sd, 1) {
				p = 1 / (sd * sd)
			} else {
				flat[name] = true
			}
			precision = append(precision, p)
		}
		return names[name]
	}
	reference := map[string]bool{}
	for _, g := range d.groups {
		reference[d.shoes[g[0]]] = true
	}
	means, counts := map[string]float64{}, map[string]float64{}
	for _, b := range blocks {
		means[b.Session] += b.TimeH
		counts[b.Session]++
	}
	type entry struct {
		row, col int
		v        float64
	}
	var entries []entry
	for i, b := range blocks {
		put := func(name string, sd, v float64) { entries = append(entries, entry{i, column(name, sd), v}) }
		put("a "+b.Session+" "+b.Level, math.Inf(1), 1)
		if !reference[b.Shoe] {
			put("b "+b.Shoe, math.Inf(1), 1)
		}
		put("gamma", s.Prior.DriftSD, b.TimeH-means[b.Session]/counts[b.Session])
		put("k", s.Prior.Exponent.SD, b.X)
		put("u "+b.Session+" "+b.Shoe, tau, 1)
		if d.terms.Runner {
			put("w "+b.Runner+" "+b.Shoe, omega, 1)
		}
	}
	n, q := len(blocks), len(precision)
	x, y := mat.NewDense(n, q, nil), mat.NewVecDense(n, nil)
	for _, e := range entries {
		x.Set(e.row, e.col, e.v)
	}
	for i, b := range blocks {
		y.SetVec(i, b.Y-s.Prior.Exponent.Mean*b.X)
	}
	// Posterior precision X'X/σ² + prior precision; y'y/σ² - m'Pm is the exponent.
	p := mat.NewDense(q, q, nil)
	p.Mul(x.T(), x)
	p.Scale(1/(sigma*sigma), p)
	logPrior := 0.0
	for j, v := range precision {
		p.Set(j, j, p.At(j, j)+v)
		if v > 0 {
			logPrior += math.Log(v)
		}
	}
	h := mat.NewVecDense(q, nil)
	h.MulVec(x.T(), y)
	h.ScaleVec(1/(sigma*sigma), h)
	out := dense{mean: mat.NewVecDense(q, nil), cov: mat.NewDense(q, q, nil), names: names}
	if err := out.cov.Inverse(p); err != nil {
		panic(err)
	}
	out.mean.MulVec(out.cov, h)
	logDet, _ := mat.LogDet(p)
	exponent := mat.Dot(y, y)/(sigma*sigma) - mat.Dot(out.mean, h)
	pr := s.Prior
	out.logDensity = -float64(n)*math.Log(sigma) + logPrior/2 - logDet/2 - exponent/2 -
		pr.BlockDF*math.Log(sigma) - pr.BlockDF*pr.BlockSD*pr.BlockSD/(2*sigma*sigma) -
		tau*tau/(2*pr.DaySD*pr.DaySD) - omega*omega/(2*pr.RunnerSD*pr.RunnerSD)
	return out
}

// The sums by session, the elimination of u, α, w, β and the covariates must be the model
// written out in full; gonum solves that.
func TestGivenSpreadsIsDenseAlgebra(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blocks, s := randomBlocks(t), speedAtPower()
		d := newDesign(blocks, s)
		g := newGiven(d, s.Prior)
		at := func(label string) float64 { return rapid.Float64Range(0.002, 0.02).Draw(t, label) }
		sigma, tau := at("sigma"), at("tau")
		omega := at("omega") * math.Pow(10, rapid.Float64Range(-2, 0).Draw(t, "tenfold"))
		n, got := nodeAt(g, sigma, tau, omega)
		want := solveDense(blocks, s, d, sigma, tau, omega)

		_, base := nodeAt(g, 0.01, 0.01, 0.01)
		wantBase := solveDense(blocks, s, d, 0.01, 0.01, 0.01).logDensity
		if diff := (got - base) - (want.logDensity - wantBase); math.Abs(diff) > 1e-5 {
			t.Errorf("log density off by %g", diff)
		}
		near := func(what string, got, want, scale float64) {
			if math.Abs(got-want) > 1e-6*scale {
				t.Errorf("%s = %g, want %g", what, got, want)
			}
		}
		near("gamma", n.coef[0], want.mean.AtVec(want.names["gamma"]), 0.02)
		near("k", n.coef[1], want.mean.AtVec(want.names["k"]), 0.15)
		near("variance of k", n.coefCov[3], want.cov.At(want.names["k"], want.names["k"]), 0.02)
		// The effects of every shoe, and of every runner in it.
		effect := func(shoe, runner string) []int {
			var columns []int
			for _, name := range []string{"b " + shoe, "w " + runner + " " + shoe} {
				if c, seen := want.names[name]; seen {
					columns = append(columns, c)
				}
			}
			return columns
		}
		check := func(what string, got effects, runner string) {
			for i, shoe := range d.shoes {
				mean := 0.0
				for _, c := range effect(shoe, runner) {
					mean += want.mean.AtVec(c)
				}
				near(what+" mean of "+shoe, got.mean[i], mean, 0.01)
				for j, other := range d.shoes {
					sum := 0.0
					for _, c := range effect(shoe, runner) {
						for _, e := range effect(other, runner) {
							sum += want.cov.At(c, e)
						}
					}
					if d.terms.Runner && runner != "" && i == j && len(effect(shoe, runner)) < 2 &&
						!hasRunner(want.names, runner, shoe) {
						sum += omega * omega // a shoe that the runner has not run
					}
					near(what+" covariance of "+shoe+" and "+other, got.cov[i*len(d.shoes)+j], sum, 1e-4)
				}
			}
		}
		check("beta", effectsOf(&n, &n.shoes), "")
		for r := range n.runners {
			check(d.runners[r], effectsOf(&n, &n.runners[r]), d.runners[r])
		}
		for i, shoe := range d.shoes {
			if c, free := want.names["b "+shoe]; free {
				first := d.groups[groupOf(d, i)][0]
				near("covariance of k and "+shoe, n.coefWith(1, i, first), want.cov.At(want.names["k"], c), 1e-4)
			}
		}
	})
}

// nodeAt solves for given spreads; the density is that of (ln σ, τ, ω).
func nodeAt(g *given, sigma, tau, omega float64) (node, float64) {
	g.solveAt(ratiosOf(sigma, tau, omega))
	density := g.logDensity(sigma, tau, omega)
	return g.node(spreads{sigma: sigma, tau: tau, omega: omega}, g.solution(true)), density
}

func groupOf(d *design, shoe int) int {
	return slices.IndexFunc(d.groups, func(g []int) bool { return slices.Contains(g, shoe) })
}

func hasRunner(names map[string]int, runner, shoe string) bool {
	_, seen := names["w "+runner+" "+shoe]
	return seen
}

// An extra block never makes a difference less certain when the spreads are known.
func TestMoreBlocksNeverWiden(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blocks, s := randomBlocks(t), speedAtPower()
		fewer := newDesign(blocks[:len(blocks)-1], s)
		more := newDesign(blocks, s)
		before, after := newGiven(fewer, s.Prior), newGiven(more, s.Prior)
		sigma, tau, omega := 0.009, 0.005, 0.004
		if fewer.terms.Runner != more.terms.Runner {
			omega = 0
		}
		a, _ := nodeAt(before, sigma, tau, omega)
		b, _ := nodeAt(after, sigma, tau, omega)
		for _, group := range fewer.groups {
			for _, j := range group[1:] {
				_, was := a.contrast(j, group[0])
				_, is := b.contrast(indexOf(more.shoes, fewer.shoes[j]), indexOf(more.shoes, fewer.shoes[group[0]]))
				if is > was*(1+1e-9) {
					t.Errorf("variance of %s grew from %g to %g", fewer.shoes[j], was, is)
				}
			}
		}
	})
}

func indexOf(labels []string, label string) int {
	for i, l := range labels {
		if l == label {
			return i
		}
	}
	return -1
}
