package stats

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// bigLayout has rows/12 levels of twelve rows each: four of the classes, three rows of
// each in a random order, and one covariate.
func bigLayout(rows, classes int) Absorbed {
	r := rand.New(rand.NewPCG(1, 2))
	d := Absorbed{Classes: classes, Covariates: NewMatrix(rows, 1)}
	for i := 0; i < rows; i += 12 {
		base := r.NormFloat64()
		own := r.Perm(classes)[:4]
		shift := [4]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		for j := range min(12, rows-i) {
			k := (j + r.IntN(2)) % 4
			d.Level = append(d.Level, i/12)
			d.Class = append(d.Class, own[k])
			d.Group = append(d.Group, i/12*classes+own[k])
			d.Covariates.Set(i+j, 0, float64(j)/12)
			d.Y = append(d.Y, base+0.01*float64(own[k])+0.5*shift[k]+0.3*float64(j)/12+r.NormFloat64())
		}
	}
	return d
}

// BenchmarkREMLAbsorbed shows how time grows with rows: 60 classes, rows/12 levels.
func BenchmarkREMLAbsorbed(b *testing.B) {
	for _, rows := range []int{1000, 3000, 10000, 24000, 30000, 100000} {
		b.Run(fmt.Sprint("rows=", rows), func(b *testing.B) {
			d := bigLayout(rows, 60)
			b.ReportAllocs()
			for b.Loop() {
				m, err := REMLAbsorbed(d)
				if err != nil || m.Status != Interior {
					b.Fatal(m.Status, err)
				}
				c := make([]float64, 61)
				c[0], c[59] = -1, 1
				if e := m.Contrast(c, Satterthwaite); !e.Estimable {
					b.Fatal("not estimable")
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(rows), "ns/row")
		})
	}
}

// BenchmarkREML is the small dense case: 36 rows, 18 groups, 8 columns.
func BenchmarkREML(b *testing.B) {
	d := machines(b, true)
	m, ml := d.codes("Machine", nil)
	w, wl := d.codes("Worker", nil)
	x := intercept(d.rows).factor("Machine", m, ml).factor("Worker", w, wl).matrix()
	y, g := d.num("score"), pairCodes(w, m)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := REML(x, y, g); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkREMLAbsorbedSmall is the same model with the six levels of one factor eliminated.
func BenchmarkREMLAbsorbedSmall(b *testing.B) {
	d := machinesAbsorbed(b, machines(b, true))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := REMLAbsorbed(d); err != nil {
			b.Fatal(err)
		}
	}
}
