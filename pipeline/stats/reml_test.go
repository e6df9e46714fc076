package stats

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// machines is the unbalanced subset of Pinheiro & Bates (2000, section 1.3) unless all is set.
func machines(t testing.TB, all bool) table {
	d := readTable(t, "testdata/machines.csv")
	gone := map[int]bool{2: true, 3: true, 6: true, 8: true, 9: true, 12: true, 19: true, 20: true, 27: true, 33: true}
	return d.filter(func(i int) bool { return all || !gone[i+1] })
}

// machinesModel is score ~ Machine + Worker + (1 | Worker:Machine).
func machinesModel(t testing.TB, d table) (*design, *Mixed) {
	m, ml := d.codes("Machine", nil)
	w, wl := d.codes("Worker", nil)
	x := intercept(d.rows).factor("Machine", m, ml).factor("Worker", w, wl)
	fit, err := denseREML(x.matrix(), d.num("score"), pairCodes(w, m))
	if err != nil {
		t.Fatal(err)
	}
	return x, fit
}

func pairCodes(a, b []int) []int {
	out := make([]int, len(a))
	for i := range a {
		out[i] = 1000*a[i] + b[i]
	}
	return out
}

// R 4.2.2, lme4's model taken to the root of the analytic REML score.
func TestMachinesUnbalanced(t *testing.T) {
	x, m := machinesModel(t, machines(t, false))
	if m.Status != Interior || m.BetweenDF != 10 || m.WithinDF != 26 || m.Groups != 18 || m.Rank != 8 ||
		len(m.Warnings) != 0 {
		t.Fatalf("%v, df %d %d, groups %d, rank %d, %v", m.Status, m.BetweenDF, m.WithinDF, m.Groups, m.Rank,
			m.Warnings)
	}
	near(t, "lambda", m.Lambda, 16.3647222703026, 1e-10)
	near(t, "sigma2", m.Sigma2, 0.870649534093535, 1e-10)
	near(t, "sigmab2", m.SigmaB2, 14.247937820209, 1e-10)
	near(t, "criterion", m.Criterion, 149.351558436921, 1e-13)
	near(t, "observed", m.Observed.BB, 42.528922967849, 1e-8)
	near(t, "observed", m.Observed.BW, -0.0166838925882052, 1e-8)
	near(t, "observed", m.Observed.WW, 0.058055434340312, 1e-8)
	near(t, "expected", m.Expected.BB, 43.0227955757181, 1e-8)
	near(t, "expected", m.Expected.BW, -0.027838731278423, 1e-8)
	near(t, "expected", m.Expected.WW, 0.0583073827663274, 1e-8)
	ba := x.contrast("MachineB", "")
	e, kr := m.Contrast(ba, Satterthwaite), m.Contrast(ba, KenwardRoger)
	near(t, "B-A", e.Value, 7.95835749236053, 1e-11)
	near(t, "B-A SE", e.SE, 2.21574273583775, 1e-11)
	near(t, "B-A df", e.DF, 10.1975162665106, 1e-9)
	near(t, "B-A p", e.P(), 0.00476468298061779, 1e-9)
	near(t, "B-A KR SE", kr.SE, 2.21586692404049, 1e-11)
	near(t, "B-A KR df", kr.DF, 10.0833037381626, 1e-9)
	near(t, "effect 1:A", m.Effects[0], -1.66893085209608, 1e-9)
	near(t, "MachineC", m.Coef[2], 13.9097107358161, 1e-11)
}

// Balanced: the classical analysis of variance gives everything in closed form
// (sheet: contrasts equal least squares on the 18 cell means, 10 df).
func TestMachinesBalancedIsClassical(t *testing.T) {
	x, m := machinesModel(t, machines(t, true))
	for _, method := range []DFMethod{Satterthwaite, KenwardRoger} {
		e := m.Contrast(x.contrast("MachineC", "MachineB"), method)
		near(t, "C-B", e.Value, 5.95, 1e-12)
		near(t, "C-B SE", e.SE, 2.17697547579715, 1e-12)
		near(t, "C-B df", e.DF, 10, 1e-9)
	}
}

// Two groups of two; REML equals the analysis of variance estimators in balanced data
// (Searle, Casella & McCulloch 1992, section 3.8): σ² = 0.5, σb² = (MSB - MSW)/2.
func TestOneWayByHand(t *testing.T) {
	y := []float64{1, 2, 7, 8}
	m, err := denseREML(intercept(4).matrix(), y, []int{5, 5, -3, -3})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sigma2", m.Sigma2, 0.5, 1e-12)
	near(t, "sigmab2", m.SigmaB2, (36-0.5)/2, 1e-12)
	near(t, "mean", m.Coef[0], 4.5, 1e-14)
	e := m.Contrast([]float64{1}, Satterthwaite)
	near(t, "SE", e.SE, 3, 1e-12)
	near(t, "df", e.DF, 1, 1e-10)
	if m.GroupIDs[0] != 5 || m.GroupIDs[1] != -3 {
		t.Errorf("groups %v", m.GroupIDs)
	}
	near(t, "effect", m.Effects[1], 3*(1-0.5/36), 1e-12)
}

func TestMixedStatuses(t *testing.T) {
	g := []int{1, 1, 2, 2, 3, 3}
	x := []float64{0, 1, 0, 1, 0, 1}
	for _, c := range []struct {
		name   string
		d      *design
		y      []float64
		group  []int
		status MixedStatus
		df     float64
	}{
		{"interior", intercept(6), []float64{1, 2, 5, 6, 9, 11}, g, Interior, 2},
		{"boundary", intercept(6), []float64{1, 9, 2, 8, 1, 9}, g, BoundaryZero, 5},
		{
			"groups are columns", intercept(6).factor("g", []int{0, 0, 1, 1, 2, 2}, []string{"", "b", "c"}),
			[]float64{1, 2, 5, 6, 9, 11}, g, NoBetweenDF, 3,
		},
		{"no repeats", intercept(6).with("x", x), []float64{1, 2, 5, 6, 9, 11}, []int{1, 2, 3, 4, 5, 6}, NoWithinDF, 4},
		{"rows agree", intercept(6), []float64{1, 1, 5, 5, 9, 9}, g, Unbounded, 2},
		{"exact", intercept(6).with("x", x), []float64{1, 3, 1, 3, 1, 3}, g, ExactFit, 4},
		{"saturated", intercept(2).with("x", []float64{0, 1}), []float64{1, 3}, []int{1, 2}, NoResidualDF, 0},
	} {
		m, err := denseREML(c.d.matrix(), c.y, c.group)
		if err != nil {
			t.Fatal(c.name, err)
		}
		e := m.Contrast(c.d.contrast("(Intercept)", ""), Satterthwaite)
		if m.Status != c.status || m.Status.String() == "" {
			t.Errorf("%s: status %v, want %v", c.name, m.Status, c.status)
		}
		within(t, c.name+" df", e.DF, c.df, 1e-6)
		if got, want := math.IsNaN(e.SE), c.status == NoResidualDF; got != want {
			t.Errorf("%s: SE %v", c.name, e.SE)
		}
		if c.status == ExactFit && (m.Sigma2 != 0 || m.SigmaB2 != 0 || !math.IsInf(m.Criterion, -1) || e.SE != 0) {
			t.Errorf("%s: %+v", c.name, m)
		}
		if math.IsNaN(m.SigmaB2) != (c.status == NoBetweenDF || c.status == NoWithinDF || c.status == NoResidualDF) {
			t.Errorf("%s: between variance %v", c.name, m.SigmaB2)
		}
	}
}

// Where rows of a group agree, the answer is that of the group means: mean 5, SE 4/√3.
func TestUnboundedIsTheGroupMeans(t *testing.T) {
	m, _ := denseREML(intercept(6).matrix(), []float64{1, 1, 5, 5, 9, 9}, []int{1, 1, 2, 2, 3, 3})
	e := m.Contrast([]float64{1}, Satterthwaite)
	near(t, "mean", e.Value, 5, 1e-12)
	near(t, "SE", e.SE, 4/math.Sqrt(3), 1e-6)
	near(t, "between variance", m.SigmaB2, 16, 1e-6)
	if m.Sigma2 != 0 || !math.IsInf(m.Lambda, 1) || !math.IsInf(m.Criterion, -1) || !math.IsNaN(m.Expected.BB) {
		t.Errorf("%+v", m)
	}
	near(t, "effect", m.Effects[2], 4, 1e-6)
}

func TestREMLRefuses(t *testing.T) {
	if _, err := denseREML(NewMatrix(2, 1), []float64{1, 2}, []int{1}); err == nil ||
		err.Error() != "mixed model: 1 group labels but 2 responses" {
		t.Error(err)
	}
	if _, err := denseREML(NewMatrix(2, 1), []float64{1, nan}, []int{1, 2}); err == nil ||
		err.Error() != "mixed model: least squares: response 1 is not a finite number" {
		t.Error(err)
	}
	m, err := denseREML(NewMatrix(0, 1), nil, nil)
	if err != nil || m.Status != NoResidualDF || m.Contrast([]float64{1}, Satterthwaite).Estimable {
		t.Errorf("no rows: %+v, %v", m, err)
	}
	_, full := machinesModel(t, machines(t, true))
	for _, c := range [][]float64{nil, {1}, make([]float64, 9), {nan, 0, 0, 0, 0, 0, 0, 0}, {0, 0, 0, 0, 0, 0, 0,
		inf}} {
		if full.Contrast(c, Satterthwaite).Estimable {
			t.Errorf("contrast %v is estimable", c)
		}
	}
	// where the observed information is singular, the expected one serves
	c := []float64{0, 1, 0, 0, 0, 0, 0, 0}
	full.Observed = VarianceCov{nan, nan, nan}
	near(t, "df without observed information", full.Contrast(c, Satterthwaite).DF, full.Contrast(c, KenwardRoger).DF,
		1e-12)
	for _, method := range []DFMethod{Satterthwaite, KenwardRoger} {
		if e := full.Contrast(make([]float64, 8), method); !e.Estimable || e.Value != 0 || e.SE != 0 || e.DF != 46 {
			t.Errorf("the zero contrast: %+v", e)
		}
	}
	if (&Mixed{}).Contrast(nil, Satterthwaite).Estimable {
		t.Error("the zero Mixed estimates something")
	}
}

// The criterion at the answer is no larger than anywhere on a fine grid of ratios, and
// the score there is zero: brute force.
func TestMaximumIsGlobal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(6, 20).Draw(t, "rows")
		group := rapid.SliceOfN(rapid.IntRange(0, 4), n, n).Draw(t, "group")
		x := rapid.SliceOfN(rapid.Float64Range(-3, 3), n, n).Draw(t, "x")
		y := rapid.SliceOfN(rapid.Float64Range(-5, 5), n, n).Draw(t, "y")
		m, err := denseREML(intercept(n).with("x", x).matrix(), y, group)
		if err != nil {
			t.Fatal(err)
		}
		if m.Status != Interior && m.Status != BoundaryZero {
			t.Skip(m.Status.String())
		}
		for i := -60; i <= 60; i++ {
			at := m.at.l.at(math.Pow(10, float64(i)/10), depthCriterion)
			if c := at.criterion(); c < m.Criterion-1e-9*(1+math.Abs(m.Criterion)) {
				t.Fatalf("criterion %v at ratio %v, below %v at %v", c, at.lambda, m.Criterion, m.Lambda)
			}
		}
		if s := m.at.score() * m.Lambda; math.Abs(s) > 1e-9 {
			t.Fatalf("score %v at ratio %v", s, m.Lambda)
		}
	})
}

// scoreByDifference checks the analytic score and information against differences of the
// criterion.
func TestScoreIsTheDerivative(t *testing.T) {
	_, m := machinesModel(t, machines(t, false))
	l := m.at.l
	for _, lambda := range []float64{0.1, 1, 7} {
		h := lambda * 1e-4
		slope := (l.at(lambda+h, depthCriterion).criterion() - l.at(lambda-h, depthCriterion).criterion()) / (2 * h)
		near(t, fmt.Sprint("score at ", lambda), l.at(lambda, depthScore).score(), slope, 1e-6)
	}
}

// Davies & Goldsmith (1972), section 6.2, yields of six batches; balanced, so REML is the
// analysis of variance: σ² = 2451.25, σb² = 1764.05, five degrees of freedom.
func TestDyestuff(t *testing.T) {
	y := []float64{1545, 1440, 1440, 1520, 1580, 1540, 1555, 1490, 1560, 1495, 1595, 1550, 1605, 1510, 1560,
		1445, 1440, 1595, 1465, 1545, 1595, 1630, 1515, 1635, 1625, 1520, 1455, 1450, 1480, 1445}
	group := make([]int, 30)
	for i := range group {
		group[i] = i / 5
	}
	m, err := denseREML(intercept(30).matrix(), y, group)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "sigma2", m.Sigma2, 2451.25, 1e-11)
	near(t, "sigmab2", m.SigmaB2, 1764.05, 1e-11)
	near(t, "lambda", m.Lambda, 0.719653238143804, 1e-11)
	near(t, "criterion", m.Criterion, 319.654276842258, 1e-13)
	e := m.Contrast([]float64{1}, Satterthwaite)
	near(t, "mean", e.Value, 1527.5, 1e-14)
	near(t, "SE", e.SE, 19.383412152319, 1e-11)
	near(t, "df", e.DF, 5, 1e-9)
	near(t, "KR df", m.Contrast([]float64{1}, KenwardRoger).DF, 5, 1e-9)
	for i, want := range []float64{-17.6068513507519, 0.391263363350031, 28.5622255245531, -23.0845384376525,
		56.7331876857562, -44.9952867852549} {
		near(t, fmt.Sprint("effect ", i), m.Effects[i], want, 1e-10)
	}
}

// One degree of freedom each way is enough to tell the variances apart.
func TestFewestDegreesOfFreedom(t *testing.T) {
	m, err := denseREML(intercept(3).matrix(), []float64{1, 2, 9}, []int{1, 1, 2})
	if err != nil || m.Status != Interior || m.BetweenDF != 1 || m.WithinDF != 1 {
		t.Fatalf("%v, df %d and %d, %v", m.Status, m.BetweenDF, m.WithinDF, err)
	}
	near(t, "sigma2", m.Sigma2, 0.5, 1e-10)
}

// A likelihood with two maxima (found by search): the higher one is taken and the caution
// travels with it.
func TestTwoMaxima(t *testing.T) {
	m, err := denseREML(intercept(7).matrix(), []float64{0, 2, 0.25, 2, 0.5, 0.5, 1}, []int{1, 2, 0, 0, 0, 0, 0})
	if err != nil || m.Status != Interior || len(m.Warnings) != 1 || m.Warnings[0][:14] != "the likelihood" {
		t.Fatalf("%v, %v, %v", m.Status, m.Warnings, err)
	}
	near(t, "lambda", m.Lambda, 0.2727064183032191, 1e-9)
	if zero := m.at.l.at(0, depthCriterion).criterion(); zero <= m.Criterion {
		t.Errorf("criterion %v, at zero %v", m.Criterion, zero)
	}
}

// Neither the order of rows nor the names of groups matter; turning the response round and
// stretching it does the same to the estimates and leaves ratio, degrees of freedom and p
// values alone; a constant only moves the intercept.
func TestMixedProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(8, 24).Draw(t, "rows")
		x, y := quarters(t, "x", n), quarters(t, "y", n)
		group := rapid.SliceOfN(rapid.IntRange(0, 3), n, n).Draw(t, "group")
		order := rapid.Permutation(indices(n)).Draw(t, "order")
		stretch := rapid.Float64Range(-40, -0.1).Draw(t, "stretch")
		px, py, pg := make([]float64, n), make([]float64, n), make([]int, n)
		for i, j := range order {
			px[i], py[i], pg[i] = x[j], stretch*y[j]+7, -3*group[j]
		}
		a, err := denseREML(intercept(n).with("x", x).matrix(), y, group)
		if err != nil {
			t.Fatal(err)
		}
		b, _ := denseREML(intercept(n).with("x", px).matrix(), py, pg)
		if a.Rank < 2 || !a.Status.Separable() || a.Status != b.Status && math.Max(a.Lambda, b.Lambda) < 1e-6 {
			t.Skip("nothing to compare, or a score of zero at the boundary")
		}
		if a.Status != b.Status || math.Abs(a.Lambda-b.Lambda) > 1e-5*(a.Lambda+1e-3) {
			t.Fatalf("%v at %v, %v at %v", a.Status, a.Lambda, b.Status, b.Lambda)
		}
		for _, method := range []DFMethod{Satterthwaite, KenwardRoger} {
			e, f := a.Contrast([]float64{0, 1}, method), b.Contrast([]float64{0, 1}, method)
			if math.Abs(e.Value*stretch-f.Value) > -1e-5*stretch*e.SE ||
				math.Abs(e.SE*stretch+f.SE) > -1e-5*stretch*e.SE {
				t.Fatalf("%+v stretched by %v is %+v", e, stretch, f)
			}
			if math.Abs(e.DF-f.DF) > 1e-3*e.DF {
				t.Fatalf("df %v and %v", e.DF, f.DF)
			}
		}
	})
}

// Group means that differ exactly as much as chance predicts put the maximum at zero with a
// score of zero: between mean square 1 = within mean square 1 by hand. Whatever rounding makes
// of it, the answer is the boundary.
func TestScoreOfZeroAtZero(t *testing.T) {
	// two groups of two, within mean square 1, between mean square 1
	r := math.Sqrt2 / 2
	for _, shift := range []float64{0, 0.1, 1e3, 1. / 3} {
		y := []float64{shift + r, shift - r, shift + 1 + r, shift + 1 - r}
		m, err := denseREML(intercept(4).matrix(), y, []int{1, 1, 2, 2})
		if err != nil || m.Status != BoundaryZero || m.Lambda != 0 || m.SigmaB2 != 0 {
			t.Errorf("shift %v: %v at %v, %v", shift, m.Status, m.Lambda, err)
		}
		if df := m.Contrast([]float64{1}, Satterthwaite).DF; df != 3 {
			t.Errorf("shift %v: df %v, want 3", shift, df)
		}
	}
}

// Numbering agrees with a map, whatever the labels: close together, far apart, negative, or
// alike in their low bits.
func TestNumberGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stretch := rapid.SampledFrom([]int{1, -7, 1 << 20, 1 << 58, math.MaxInt / 40}).Draw(t, "stretch")
		label := rapid.SliceOf(rapid.IntRange(-40, 40)).Draw(t, "labels")
		number := map[int]int{}
		ids, of, size := []int{}, make([]int, len(label)), []float64{}
		for i := range label {
			label[i] *= stretch
			if _, seen := number[label[i]]; !seen {
				number[label[i]] = len(ids)
				ids, size = append(ids, label[i]), append(size, 0)
			}
			of[i] = number[label[i]]
			size[of[i]]++
		}
		if gotIDs, gotOf, gotSize := numberGroups(label); !slices.Equal(gotIDs, ids) || !slices.Equal(gotOf, of) ||
			!slices.Equal(gotSize, size) {
			t.Fatalf("%v: ids %v, numbers %v, sizes %v", label, gotIDs, gotOf, gotSize)
		}
	})
}
