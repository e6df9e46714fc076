package stats

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// sameModel fits the same model densely and by elimination and compares everything.
func sameModel(t rapid.TB, d Absorbed) {
	t.Helper()
	n := len(d.Y)
	_, level, sizes := numberGroups(d.Level)
	x := &design{}
	for l := range sizes {
		x.with(fmt.Sprint("level", l), indicator(level, l))
	}
	for c := range d.Classes {
		x.with(fmt.Sprint("class", c), indicator(d.Class, c))
	}
	for j := range d.Covariates.Cols {
		x.with(fmt.Sprint("covariate", j), d.Covariates.column(j))
	}
	dense, err := denseREML(x.matrix(), d.Y, d.Group)
	if err != nil {
		t.Fatal(err)
	}
	fast, err := REMLAbsorbed(d)
	if err != nil {
		t.Fatal(err)
	}
	if dense.Status != fast.Status || dense.Rank != fast.Rank || dense.BetweenDF != fast.BetweenDF ||
		dense.WithinDF != fast.WithinDF || dense.Groups != fast.Groups || fast.Rows != n {
		t.Fatalf("dense %v rank %d df %d %d, absorbed %v rank %d df %d %d", dense.Status, dense.Rank, dense.BetweenDF,
			dense.WithinDF,
			fast.Status, fast.Rank, fast.BetweenDF, fast.WithinDF)
	}
	same := func(what string, got, want, rel float64) {
		if !(math.Abs(got-want) <= rel*math.Abs(want)+1e-300) && !(math.IsNaN(got) && math.IsNaN(want)) {
			t.Fatalf("%s: absorbed %.17g, dense %.17g (%v)", what, got, want, dense.Status)
		}
	}
	if dense.Status == Interior || dense.Status == BoundaryZero {
		same("lambda", fast.Lambda, dense.Lambda, 1e-6)
		same("sigma2", fast.Sigma2, dense.Sigma2, 1e-8)
		same("criterion", fast.Criterion+1000, dense.Criterion+1000, 1e-10)
		same("expected", fast.Expected.BB, dense.Expected.BB, 1e-5)
		same("expected WW", fast.Expected.WW, dense.Expected.WW, 1e-6)
		same("observed WW", fast.Observed.WW, dense.Observed.WW, 1e-5)
	}
	levels := len(sizes)
	for a := range d.Classes + d.Covariates.Cols {
		for b := range max(1, min(a, d.Classes)) {
			short, long := make([]float64, len(fast.Coef)), make([]float64, len(x.cols))
			short[a], long[levels+a] = 1, 1
			if a < d.Classes && a != b {
				short[b], long[levels+b] = -1, -1
			}
			for _, method := range []DFMethod{Satterthwaite, KenwardRoger} {
				e, f := fast.Contrast(short, method), dense.Contrast(long, method)
				name := fmt.Sprintf("column %d against %d by method %d", a, b, method)
				if e.Estimable != f.Estimable {
					t.Fatalf("%s: absorbed %+v, dense %+v", name, e, f)
				}
				if !f.Estimable || dense.Status == Unbounded || dense.Status == ExactFit {
					continue
				}
				if math.Abs(e.Value-f.Value) > 1e-8*(math.Abs(f.Value)+1e-3) {
					t.Fatalf("%s: absorbed %v, dense %v", name, e.Value, f.Value)
				}
				same(name+" SE", e.SE, f.SE, 1e-7)
				same(name+" df", e.DF, f.DF, 1e-5)
			}
		}
	}
	for i, u := range fast.Effects {
		if dense.Status == Interior && math.Abs(u-dense.Effects[i]) > 1e-7*math.Sqrt(dense.SigmaB2+dense.Sigma2) {
			t.Fatalf("effect %d: absorbed %v, dense %v", i, u, dense.Effects[i])
		}
	}
}

func machinesAbsorbed(t testing.TB, d table) Absorbed {
	m, ml := d.codes("Machine", nil)
	w, _ := d.codes("Worker", nil)
	return Absorbed{Y: d.num("score"), Level: w, Group: pairCodes(w, m), Class: m, Classes: len(ml)}
}

func TestAbsorbedEqualsDenseOnMachines(t *testing.T) {
	for _, all := range []bool{false, true} {
		d := machines(t, all)
		a := machinesAbsorbed(t, d)
		sameModel(t, a)
		a.Covariates = NewMatrix(d.rows, 2)
		for i := range d.rows {
			copy(a.Covariates.Row(i), []float64{float64(i % 5), math.Sqrt(float64(i))})
		}
		sameModel(t, a)
	}
	m, err := REMLAbsorbed(machinesAbsorbed(t, machines(t, false)))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "criterion", m.Criterion, 149.351558436921, 1e-13)
	e := m.Contrast([]float64{-1, 1, 0}, Satterthwaite)
	near(t, "B-A", e.Value, 7.95835749236053, 1e-11)
	near(t, "B-A SE", e.SE, 2.21574273583775, 1e-11)
	near(t, "B-A df", e.DF, 10.1975162665106, 1e-9)
}

// Any small design: few rows, missing cells, levels of one row, unconnected classes,
// covariates that are confounded or constant.
func TestAbsorbedEqualsDense(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 24).Draw(t, "rows")
		d := Absorbed{Classes: rapid.IntRange(1, 4).Draw(t, "classes")}
		d.Covariates = NewMatrix(n, rapid.IntRange(0, 2).Draw(t, "covariates"))
		for i := range n {
			l, c := rapid.IntRange(0, 4).Draw(t, "level"), rapid.IntRange(0, d.Classes-1).Draw(t, "class")
			d.Level, d.Class = append(d.Level, l), append(d.Class, c)
			d.Group = append(d.Group, 10*l+c)
			// few distinct values, so that exact confounding is common and near confounding is not
			d.Y = append(d.Y, float64(rapid.IntRange(-8, 8).Draw(t, "y"))+100)
			for j := range d.Covariates.Cols {
				d.Covariates.Set(i, j, float64(rapid.IntRange(0, 3).Draw(t, "x")))
			}
		}
		sameModel(t, d)
	})
}

// One class only, so that a covariate takes the first place; and covariates on scales far
// apart, one of them constant within levels, one a multiple of another.
func TestAbsorbedCovariates(t *testing.T) {
	d := Absorbed{Classes: 1, Covariates: NewMatrix(12, 1)}
	for i := range 12 {
		d.Level, d.Group, d.Class = append(d.Level, i/6), append(d.Group, i/2), append(d.Class, 0)
		d.Covariates.Set(i, 0, float64(i*i%7))
		d.Y = append(d.Y, math.Sqrt(float64(i*5%11)))
	}
	sameModel(t, d)
	d.Classes = 3
	d.Covariates = NewMatrix(12, 5)
	for i := range 12 {
		d.Class[i] = (i/2 + i/6) % 3
		x := 1000 * float64(i*i%7)
		copy(d.Covariates.Row(i), []float64{x, float64(i / 6), -x / 250, 1e-3 * math.Sqrt(float64(i)), 0})
	}
	sameModel(t, d)
	m, err := REMLAbsorbed(d)
	if err != nil {
		t.Fatal(err)
	}
	if m.Aliased[3] || !m.Aliased[4] || !m.Aliased[5] || m.Aliased[6] || !m.Aliased[7] || !m.Aliased[2] ||
		m.Aliased[0] {
		t.Fatalf("aliased %v", m.Aliased)
	}
	// 250 b3 = -x, so b1 + t b3 is estimable only as b1 - b3/250
	e := m.Contrast([]float64{0, 0, 0, 1, 0, -1. / 250, 0, 0}, Satterthwaite)
	near(t, "slope", e.Value, m.Coef[3], 1e-9)
	for _, c := range [][]float64{{0, 0, 0, 1, 0, 0, 0, 0}, {0, 0, 0, 1, 0, 1. / 250, 0, 0}, {0, 0, 0, 0, 1, 0, 0, 0},
		{1, -1, 0, 0, 1e-3, 0, 0, 0}, {0, 0, 0, 1, 0, -1. / 250 * (1 + 1e-5), 0, 0}, {0, 0, 0, 0, 0, 0, 0, 1}} {
		if m.Contrast(c, Satterthwaite).Estimable {
			t.Errorf("%v is estimable", c)
		}
	}
	if !m.Contrast([]float64{1, -1, 0, 0, 0, 0, 5, 0}, Satterthwaite).Estimable {
		t.Error("a mixed contrast is not estimable")
	}
	if e := m.Contrast(make([]float64, 8), Satterthwaite); !e.Estimable || e.Value != 0 || e.SE != 0 {
		t.Errorf("the zero contrast: %+v", e)
	}
}

// The stated tolerance of 1e-6.
func TestAbsorbedTolerance(t *testing.T) {
	for _, c := range []struct {
		share   float64
		aliased bool
	}{{1e-5, false}, {1e-7, true}} {
		d := Absorbed{Classes: 1, Covariates: NewMatrix(8, 2)}
		for i := range 8 {
			d.Level, d.Group, d.Class = append(d.Level, i/4), append(d.Group, i/2), append(d.Class, 0)
			x, fresh := float64(i%4)-1.5, []float64{1, -1, -1, 1}[i%4]
			copy(d.Covariates.Row(i), []float64{x, x + c.share*fresh})
			d.Y = append(d.Y, math.Sqrt(float64(i)))
		}
		m, err := REMLAbsorbed(d)
		if err != nil || m.Aliased[2] != c.aliased || m.Aliased[1] {
			t.Errorf("new part %g: aliased %v, %v", c.share, m.Aliased, err)
		}
	}
}

func TestAbsorbedRefuses(t *testing.T) {
	good := func() Absorbed {
		return Absorbed{Y: []float64{1, 2}, Level: []int{1, 1}, Group: []int{1, 2}, Class: []int{0, 1}, Classes: 2}
	}
	for want, spoil := range map[string]func(*Absorbed){
		"2 responses but 1 levels, 2 groups, 2 classes": func(d *Absorbed) { d.Level = []int{1} },
		"2 responses but 2 levels, 1 groups, 2 classes": func(d *Absorbed) { d.Group = []int{1} },
		"2 responses but 2 levels, 2 groups, 3 classes": func(d *Absorbed) { d.Class = []int{1, 1, 0} },
		"row 1: class 1 is not one of 1":                func(d *Absorbed) { d.Classes = 1 },
		"row 0: class -1 is not one of 2":               func(d *Absorbed) { d.Class[0] = -1 },
		"row 1: group 1 lies in more than one level":    func(d *Absorbed) { d.Group[1] = 1 },
		"response 0 is not a finite number":             func(d *Absorbed) { d.Y[0] = inf },
		"row 1, column 0 is not a finite number": func(d *Absorbed) {
			d.Covariates = Matrix{2, 1, []float64{1,
				nan}}
		},
		"3 rows but 2 responses": func(d *Absorbed) { d.Covariates = NewMatrix(3, 1) },
		"no rows":                func(d *Absorbed) { *d = Absorbed{} },
	} {
		d := good()
		spoil(&d)
		if _, err := REMLAbsorbed(d); err == nil || !strings.Contains(err.Error(), "mixed model: "+want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	if _, err := REMLAbsorbed(good()); err != nil {
		t.Error(err)
	}
}

// Fifty levels, ten classes, a covariate: larger than rapid draws.
func TestAbsorbedEqualsDenseLarger(t *testing.T) {
	if testing.Short() {
		t.Skip("short")
	}
	sameModel(t, bigLayout(600, 10))
}
