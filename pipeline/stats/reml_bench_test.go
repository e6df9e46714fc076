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
		if _, err := denseREML(x, y, g); err != nil {
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

// mirrored has sessions of eight rows: four of six classes in a random order and back, with
// a covariate; every gap-th row is missing.
func mirrored(sessions, gap int) Absorbed {
	r := rand.New(rand.NewPCG(3, 4))
	d := Absorbed{Classes: 6}
	for i := range sessions {
		base, own := r.NormFloat64(), r.Perm(6)[:4]
		shift := [4]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		for j := range 8 {
			k := min(j, 7-j)
			if gap > 0 && (8*i+j)%gap == 0 {
				continue
			}
			d.Level, d.Class, d.Group = append(d.Level, i), append(d.Class, own[k]), append(d.Group, 6*i+own[k])
			d.Covariates.Data = append(d.Covariates.Data, float64(j)/8)
			d.Y = append(d.Y, base+0.5*shift[k]+0.1*float64(j)+r.NormFloat64())
		}
	}
	d.Covariates.Rows, d.Covariates.Cols = len(d.Y), 1
	return d
}

// BenchmarkREMLAbsorbedMirrored is the shape of a trial: whole sessions, and some with a
// row missing, whose sums differ from ratio to ratio.
func BenchmarkREMLAbsorbedMirrored(b *testing.B) {
	for _, sessions := range []int{1, 20, 200} {
		for _, gap := range []int{0, 19} {
			d := mirrored(sessions, gap)
			b.Run(fmt.Sprint("sessions=", sessions, "/gap=", gap), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := REMLAbsorbed(d); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
