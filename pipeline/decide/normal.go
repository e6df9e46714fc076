package decide

import (
	"math"
	"sync"

	"soletrial/pipeline/stats"
)

// A posterior of 60 shoes asks for millions of normal probabilities, so they come from a
// table of Φ with its Taylor series about the nearest entry, good to 1e-11.
const (
	perUnit  = 16
	tableTop = 8.5
)

// normalEntry is Φ(-a) and φ(a) of an entry a, and what is wanted of the derivatives there, which are
// Hermite polynomials in a: Φ' = φ, φ' = -a φ, and so on.
type normalEntry struct{ tail, density, a, first, second, third, fourth float64 }

var normalTable = sync.OnceValue(func() []normalEntry {
	entries := make([]normalEntry, int(tableTop*perUnit)+2)
	for i := range entries {
		z := float64(i) / perUnit
		z2 := float64(z * z)
		entries[i] = normalEntry{
			tail: stats.NormalCDF(-z), density: stats.Exp(-z2/2) / math.Sqrt(2*math.Pi), a: z,
			first: -z / 2, second: (z2 - 1) / 6, third: float64(z*(3-z2)) / 24, fourth: (float64(z2*(z2-6)) + 3) / 120,
		}
	}
	return entries
})

// tailAt returns P(Z >= z) of a standard normal Z, for z >= 0, and its density there to about
// four digits where it matters: that one steers searches.
func tailAt(table []normalEntry, z float64) (tail, density float64) {
	if z >= tableTop {
		return 0, 0
	}
	i := int(float64(z*perUnit) + 0.5)
	e := &table[i]
	d := z - e.a
	series := 1 + float64(d*(e.first+float64(d*(e.second+float64(d*(e.third+float64(d*e.fourth)))))))
	slope := 1 - float64(d*(e.a-float64(d*(float64(e.a*e.a)-1)/2)))
	return e.tail - float64(float64(e.density*d)*series), float64(e.density * slope)
}

// normalAt returns Φ(z) and φ(z), the latter as [tailAt] does.
func normalAt(table []normalEntry, z float64) (below, density float64) {
	tail, density := tailAt(table, math.Abs(z))
	if z > 0 {
		return 1 - tail, density
	}
	return tail, density
}

// normalQuantile returns z with Φ(z) = p for 0 < p < 1, to about 1e-9.
func normalQuantile(table []normalEntry, p float64) float64 {
	if p > 0.5 {
		return -normalQuantile(table, 1-p)
	}
	// Abramowitz & Stegun 26.2.23 is good to 4.5e-4; Halley's method does the rest.
	t := math.Sqrt(-float64(2 * stats.Log(p)))
	above := 2.515517 + float64(t*(0.802853+float64(t*0.010328)))
	below := 1 + float64(t*(1.432788+float64(t*(0.189269+float64(t*0.001308)))))
	z := t - above/below
	if _, density := tailAt(table, math.Abs(z)); density > 0 {
		tail, _ := tailAt(table, math.Max(0, z))
		u := (p - tail) / density
		z -= u / (1 + float64(z*u/2))
	}
	return -z
}
