package site

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// printed is what Method prints of one pair: enough to recompute it.
type printed struct {
	session, shoe, cell []string
	y, x, t             []float64
	sensor              map[string]float64
	blockSD, blockDF    float64
	daySD, driftSD      float64
	kMean, kSD          float64
	result              []float64
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.TrimSuffix(strings.ReplaceAll(text, "\u2212", "-"), " %"), 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// readMethod reads the numbers off the page.
func readMethod(t *testing.T, page string) printed {
	t.Helper()
	p := printed{sensor: map[string]float64{}}
	for _, row := range rowsOf(t, page, "The blocks, as the model takes them") {
		session, _, _ := strings.Cut(row[0], " ")
		p.session, p.cell, p.shoe = append(p.session, session), append(p.cell, row[0]), append(p.shoe, row[1])
		p.y, p.x, p.t = append(p.y, number(t, row[2])), append(p.x, number(t, row[3])), append(p.t, number(t, row[4]))
	}
	for _, row := range rowsOf(t, page, "The sensor") {
		p.sensor[row[0]] = number(t, row[1])
	}
	priors := rowsOf(t, page, "What is assumed before a block is run")
	p.blockSD, p.daySD, p.driftSD = number(t, priors[0][2])/100, number(t, priors[1][2])/100, number(t,
		priors[3][2])/100
	words := strings.Fields(priors[0][1])
	for i, word := range words {
		if strings.HasPrefix(word, "degrees") {
			p.blockDF = number(t, words[i-1])
		}
	}
	k := rowsOf(t, page, "How far an outcome follows 1 % more effort")[0]
	p.kMean, p.kSD = number(t, k[2]), number(t, k[3])
	for _, cell := range rowsOf(t, page, "The answer for this pair")[0] {
		p.result = append(p.result, number(t, cell))
	}
	return p
}

// given is the difference of two shoes for given spreads, and the logarithm of their posterior
// density, by dense generalised least squares; γ and k are in the covariance.
func (p *printed) given(sigma, tau float64, a, b string) (mean, variance, logDensity float64) {
	n := len(p.y)
	// Time from the middle of the session.
	sum, count := map[string]float64{}, map[string]float64{}
	for i, s := range p.session {
		sum[s] += p.t[i]
		count[s]++
	}
	v, y := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i := range n {
		y.SetVec(i, p.y[i]-p.kMean*p.x[i])
		for j := i; j < n; j++ {
			ti, tj := p.t[i]-sum[p.session[i]]/count[p.session[i]], p.t[j]-sum[p.session[j]]/count[p.session[j]]
			c := p.driftSD*p.driftSD*ti*tj + p.kSD*p.kSD*p.x[i]*p.x[j]
			if p.session[i] == p.session[j] && p.shoe[i] == p.shoe[j] {
				c += tau * tau
			}
			if i == j {
				c += sigma * sigma
			}
			v.SetSym(i, j, c)
		}
	}
	// A column for every session and target, and for every shoe but the second of the pair.
	columns := map[string]int{}
	for i := range n {
		for _, name := range []string{"cell " + p.cell[i], "shoe " + p.shoe[i]} {
			if _, seen := columns[name]; !seen && name != "shoe "+b {
				columns[name] = len(columns)
			}
		}
	}
	design := mat.NewDense(n, len(columns), nil)
	for i := range n {
		design.Set(i, columns["cell "+p.cell[i]], 1)
		if p.shoe[i] != b {
			design.Set(i, columns["shoe "+p.shoe[i]], 1)
		}
	}
	var chol, inner mat.Cholesky
	if !chol.Factorize(v) {
		panic("the covariance is singular")
	}
	var vx, xvx, vy, xvy, estimate, rest mat.Dense
	if chol.SolveTo(&vx, design) != nil || chol.SolveTo(&vy, y) != nil {
		panic("no solution")
	}
	xvx.Mul(design.T(), &vx)
	information := mat.NewSymDense(len(columns), nil)
	for i := range len(columns) {
		for j := i; j < len(columns); j++ {
			information.SetSym(i, j, xvx.At(i, j))
		}
	}
	if !inner.Factorize(information) {
		panic("the shoes are not linked")
	}
	xvy.Mul(design.T(), &vy)
	var covariance mat.SymDense
	if inner.SolveTo(&estimate, &xvy) != nil || inner.InverseTo(&covariance) != nil {
		panic("no solution")
	}
	rest.Mul(xvy.T(), &estimate)
	quadratic := mat.Dot(y, vy.ColView(0)) - rest.At(0, 0)
	prior := -p.blockDF*math.Log(sigma) - p.blockDF*p.blockSD*p.blockSD/(2*sigma*sigma) - tau*tau/(2*p.daySD*p.daySD)
	at := columns["shoe "+a]
	return estimate.At(at, 0), covariance.At(at, at), prior - (chol.LogDet()+inner.LogDet()+quadratic)/2
}

// demonstration is the site of data/, which the demonstration is.
func demonstration(t *testing.T) Input {
	t.Helper()
	fsys := os.DirFS("../../data")
	folder, problems := plaintext.Open(fsys, yamltext.Read, 1)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatal(problems, err)
	}
	return Input{Result: result, Recordings: func(s *trial.Session) ([]trial.Recording, []trial.Problem) {
		return folder.Recordings(s)
	}}
}

// Anyone can recompute a pair from the page: mean, spread and chance over a grid of ln σ and τ,
// by other arithmetic than the program's.
func TestOnePairFollowsFromMethod(t *testing.T) {
	sites := map[string]Input{"a small trial": newFixture().input(), "the demonstration": demonstration(t)}
	for name, in := range sites {
		t.Run(name, func(t *testing.T) { checkPairFromMethod(t, in) })
	}
}

func checkPairFromMethod(t *testing.T, in Input) {
	page := publish(t, in)["method.html"]
	p := readMethod(t, page)
	_, g := newSite(in).speaker.Answers.Top()
	a, b := g.Lead.Shoe, g.Lead.Reference
	type point struct{ mean, variance, log float64 }
	var points []point
	best := math.Inf(-1)
	for i := range 40 {
		for j := range 30 {
			mean, variance, log := p.given(0.0005*math.Exp(float64(i)*0.11), (float64(j)+0.5)*0.001, a, b)
			points, best = append(points, point{mean, variance, log}), math.Max(best, log)
		}
	}
	total, mean, square, above := 0.0, 0.0, 0.0, 0.0
	blur := p.sensor[a]*p.sensor[a] + p.sensor[b]*p.sensor[b]
	for _, q := range points {
		weight, v := math.Exp(q.log-best), q.variance+blur
		total, mean, square = total+weight, mean+weight*q.mean, square+weight*(v+q.mean*q.mean)
		above += weight * 0.5 * math.Erfc(-q.mean/math.Sqrt(2*v))
	}
	mean, above = mean/total, above/total
	sd := math.Sqrt(square/total - mean*mean)
	if math.Abs(mean-p.result[0]) > 2e-5 || math.Abs(sd-p.result[1]) > 1e-4 || math.Abs(above-p.result[4]) > 2e-3 {
		t.Errorf("mean %.6f, SD %.6f, chance %.4f; the page prints %v", mean, sd, above, p.result)
	}
	if p.result[2] >= p.result[0] || p.result[3] <= p.result[0] || p.result[1] < 0.002 {
		t.Errorf("the page prints %v", p.result)
	}
}
