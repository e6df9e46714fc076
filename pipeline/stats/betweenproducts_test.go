package stats

import (
	"fmt"
	"math"
	"testing"
)

// full is a small dense matrix for checking definitions.
type full [][]float64

func zeros(r, c int) full {
	m := make(full, r)
	for i := range m {
		m[i] = make([]float64, c)
	}
	return m
}

func (a full) mul(b full) full {
	m := zeros(len(a), len(b[0]))
	for i := range m {
		for j := range m[i] {
			for k := range b {
				m[i][j] += a[i][k] * b[k][j]
			}
		}
	}
	return m
}

func (a full) t() full {
	m := zeros(len(a[0]), len(a))
	for i := range a {
		for j, v := range a[i] {
			m[j][i] = v
		}
	}
	return m
}

func (a full) trace() float64 {
	s := 0.0
	for i := range a {
		s += a[i][i]
	}
	return s
}

// definitions computes betweenProducts from its own doc comment.
func definitions(x full, size []float64, level []int, lambda float64, eliminate bool) *betweenProducts {
	m := len(x)
	b, ni := zeros(m, m), zeros(m, m)
	total := map[int]float64{}
	s := newBetweenProducts(len(x[0]), depthInformation)
	for i, n := range size {
		w := n / (1 + n*lambda)
		b[i][i] = w
		ni[i][i] = 1 / n
		total[level[i]] += w
		s.logV += math.Log(1 + n*lambda)
	}
	if eliminate {
		for i := range m {
			for j := range m {
				if level[i] == level[j] {
					wi, wj := size[i]/(1+size[i]*lambda), size[j]/(1+size[j]*lambda)
					b[i][j] -= wi * wj / total[level[i]]
				}
			}
		}
		for _, w := range total {
			s.logD += math.Log(w)
		}
	}
	set := func(to []float64, middle full) {
		for i, r := range x.t().mul(middle).mul(x) {
			copy(to[i*len(r):], r)
		}
	}
	bn := b.mul(ni)
	set(s.xBx, b)
	set(s.xBBx, b.mul(b))
	set(s.xBBBx, b.mul(b).mul(b))
	set(s.xBNBx, bn.mul(b))
	set(s.xBNBNBx, bn.mul(bn).mul(b))
	set(s.xBBNBx, b.mul(bn).mul(b))
	s.trB, s.trB2, s.trBNB, s.trBNBN = b.trace(), b.mul(b).trace(), bn.mul(b).trace(), bn.mul(bn).trace()
	return s
}

// sumsOf goes to another ratio first, of which nothing may stay behind.
func sumsOf(b between, width int, lambda float64, depth int) *betweenProducts {
	s := newBetweenProducts(width, depth)
	b.addTo(s, lambda+1)
	s.reset()
	b.addTo(s, lambda)
	return s
}

func sameSums(t *testing.T, got, want *betweenProducts, depth int) {
	t.Helper()
	compare := func(what string, g, w []float64) {
		t.Helper()
		if len(g) != len(w) {
			t.Fatalf("%s has %d entries, want %d", what, len(g), len(w))
		}
		for i := range w {
			within(t, fmt.Sprint(what, " ", i), g[i], w[i], 1e-12)
		}
	}
	near(t, "ln|V|", got.logV, want.logV, 1e-13)
	near(t, "ln D", got.logD, want.logD, 1e-13)
	compare("xBx", got.xBx, want.xBx)
	if depth >= depthScore {
		compare("xBBx", got.xBBx, want.xBBx)
		near(t, "tr B", got.trB, want.trB, 1e-12)
	}
	if depth >= depthInformation {
		compare("xBBBx", got.xBBBx, want.xBBBx)
		compare("xBNBx", got.xBNBx, want.xBNBx)
		compare("xBNBNBx", got.xBNBNBx, want.xBNBNBx)
		compare("xBBNBx", got.xBBNBx, want.xBBNBx)
		near(t, "tr BB", got.trB2, want.trB2, 1e-12)
		near(t, "tr BN⁻¹B", got.trBNB, want.trBNB, 1e-12)
		near(t, "tr BN⁻¹BN⁻¹", got.trBNBN, want.trBNBN, 1e-12)
	}
}

func TestBySizeIsTheDefinition(t *testing.T) {
	x := full{{1, 2, 0.5}, {0.3, -1, 2}, {1.7, 0, -1}, {-0.4, 1.1, 0.9}}
	size := []float64{2, 3, 2, 5}
	means := NewMatrix(4, 3)
	for i, r := range x {
		copy(means.Row(i), r)
	}
	b := newGroupsBySize(means, size)
	if len(b.size) != 3 || b.count[0] != 2 {
		t.Fatalf("sizes %v, counts %v", b.size, b.count)
	}
	for _, lambda := range []float64{0, 0.7, 40} {
		for depth := depthCriterion; depth <= depthInformation; depth++ {
			sameSums(t, sumsOf(b, b.width, lambda, depth), definitions(x, size, make([]int, 4), lambda, false), depth)
		}
	}
}

// Three levels of three, one and two groups of unequal and of equal sizes, two classes of which one group's is aliased,
// and two dense columns.
func TestByLevelIsTheDefinition(t *testing.T) {
	for _, size := range [][]float64{{2, 3, 1, 4, 2, 5}, {3, 3, 3, 4, 2, 2}, {2, 2, 2, 2, 2, 2}} {
		absorbedLevelsAreTheDefinition(t, size)
	}
}

func absorbedLevelsAreTheDefinition(t *testing.T, size []float64) {
	t.Helper()
	x := full{{1, 0, 0.2, 2}, {0, 1, -1, 1}, {0, 0, 0.6, -2}, {1, 0, 3, 3}, {0, 1, 1.5, 0.5}, {1, 0, -0.5, -1.5}}
	home := []int{0, 0, 0, 1, 2, 2}
	group := func(i, class int) levelGroup { return levelGroup{n: size[i], class: class, dense: x[i][2:]} }
	b := &absorbedLevels{width: 4, widest: 4, largest: 5, levels: []level{
		{groups: []levelGroup{group(0, 0), group(1, 1), group(2, -1)}, columns: []int{0, 1, 2, 3}, classes: 2},
		{groups: []levelGroup{group(3, 0)}, columns: []int{0, 2, 3}, classes: 1},
		{groups: []levelGroup{group(4, 0), group(5, 1)}, columns: []int{1, 0, 2, 3}, classes: 2},
	}}
	b.gatherBalanced()
	for _, lambda := range []float64{0, 0.7, 40} {
		for depth := depthCriterion; depth <= depthInformation; depth++ {
			sameSums(t, sumsOf(b, b.width, lambda, depth), definitions(x, size, home, lambda, true), depth)
		}
	}
}
