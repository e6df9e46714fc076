package stats

import (
	"fmt"
	"testing"
)

// Polynomials with known minima.
func TestLowest(t *testing.T) {
	grid := []float64{0.5, 2, 5, 7, 20}
	for _, c := range []struct {
		name           string
		f, df          func(x float64) float64
		x              float64
		atEnd, several bool
	}{
		{"second of two", func(x float64) float64 { return x * (x*(x*(x/4-4)+17.5) - 24) },
			func(x float64) float64 { return (x - 1) * (x - 3) * (x - 8) }, 8, false, true},
		{"first of two", func(x float64) float64 { return x * (x*(x*(x/4-5)+31) - 48) },
			func(x float64) float64 { return (x - 1) * (x - 6) * (x - 8) }, 1, false, true},
		{"at zero", func(x float64) float64 { return x*x/2 + x }, func(x float64) float64 { return x + 1 }, 0, false,
			false},
		{"flat at zero", func(x float64) float64 { return x * x / 2 }, func(x float64) float64 { return x }, 0, false,
			false},
		{"zero beats a dip", func(x float64) float64 { return x * (x*(x/3-4.1) + 13.2) },
			func(x float64) float64 { return (x - 2.2) * (x - 6) }, 0, false, true},
		{"beyond the grid", func(x float64) float64 { return -x }, func(x float64) float64 { return -1 }, 20, true,
			false},
		{"close to zero", func(x float64) float64 { return x*x/2 - x/1e4 },
			func(x float64) float64 { return x - 1e-4 }, 1e-4, false, false},
		{"before the grid", func(x float64) float64 { return x*x/2 - x/4 },
			func(x float64) float64 { return x - 0.25 }, 0.25, false, false},
	} {
		x, atEnd, several := lowest(c.f, c.df, grid)
		near(t, c.name, x, c.x, 1e-14)
		if atEnd != c.atEnd || several != c.several {
			t.Errorf("%s: at end %v, several %v", c.name, atEnd, several)
		}
	}
}

// Roots with known values, and no more evaluations than a good method needs.
func TestFindRoot(t *testing.T) {
	for _, c := range []struct {
		name       string
		f          func(x float64) float64
		a, b, want float64
		most       int
	}{
		// Wallis's equation, the classical example since Newton
		{"cubic", func(x float64) float64 { return x*x*x - 2*x - 5 }, 2, 3, 2.0945514815423265, 12},
		{"cubic, ends exchanged", func(x float64) float64 { return x*x*x - 2*x - 5 }, 3, 2, 2.0945514815423265, 12},
		{"falling", func(x float64) float64 { return 1/x - 0.3 }, 0.1, 100, 1 / 0.3, 20},
		{"straight", func(x float64) float64 { return 4*x - 1 }, 0, 1, 0.25, 6},
		{"at the left end", func(x float64) float64 { return x - 2 }, 2, 5, 2, 2},
		{"at the right end", func(x float64) float64 { return x - 5 }, 2, 5, 5, 2},
		{"flat", func(x float64) float64 { return (x - 1) * (x - 1) * (x - 1) }, 0, 4, 1, 170},
		{"step", func(x float64) float64 { return float64(2*boolToInt(x > 0.7) - 1) }, 0, 1, 0.7, 70},
		{"no root, left closer", func(x float64) float64 { return x + 1 }, 0, 5, 0, 2},
		{"no root, right closer", func(x float64) float64 { return 9 - x }, 0, 5, 5, 2},
		{"infinite at one end", func(x float64) float64 { return Log(x) + 3 }, 0, 1, Exp(-3), 70},
	} {
		calls := 0
		x := findRoot(func(x float64) float64 { calls++; return c.f(x) }, c.a, c.b)
		rel := 1e-15
		if c.name == "flat" {
			rel = 1e-5
		}
		near(t, c.name, x, c.want, rel)
		if calls > c.most {
			t.Errorf("%s: %d evaluations, want at most %d", c.name, calls, c.most)
		}
	}
}

func boolToInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestCrossing(t *testing.T) {
	for _, ends := range [][2]float64{{0, 3}, {1e-6, 1e6}} {
		calls := 0
		x := crossing(func(x float64) float64 { calls++; return x*x - 2 }, ends[0], ends[1])
		near(t, fmt.Sprint(ends), x, 1.4142135623730951, 3e-15)
		if calls > 25 {
			t.Errorf("%v: %d evaluations", ends, calls)
		}
	}
}
