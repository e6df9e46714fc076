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

type normalEntry struct{ tail, density float64 }

var normalTable = sync.OnceValue(func() []normalEntry {
	entries := make([]normalEntry, int(tableTop*perUnit)+2)
	for i := range entries {
		z := float64(i) / perUnit
		entries[i] = normalEntry{stats.NormalCDF(-z), stats.Exp(-float64(z*z)/2) / math.Sqrt(2*math.Pi)}
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
	e, a := table[i], float64(i)/perUnit
	d := z - a
	// Φ' = φ, φ' = -a φ, and so on: the derivatives are Hermite polynomials in a.
	a2 := float64(a * a)
	h3, h4 := float64(a*(3-a2)), float64(a2*(a2-6))+3
	series := 1 + float64(d*(-a/2+float64(d*((a2-1)/6+float64(d*(h3/24+float64(d*(h4/120))))))))
	return e.tail - float64(float64(e.density*d)*series), float64(e.density * (1 - float64(d*(a-float64(d*(a2-1)/2)))))
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
