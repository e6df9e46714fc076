package randomise

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
)

// letters turns "ABBA" into shoe numbers.
func letters(text string) []int {
	order := make([]int, len(text))
	for i, c := range text {
		order[i] = int(c - 'A')
	}
	return order
}

func word(order []int) string {
	var b strings.Builder
	for _, s := range order {
		b.WriteByte(byte('A' + s))
	}
	return b.String()
}

func words(orders [][]int) []string {
	list := make([]string, len(orders))
	for i, order := range orders {
		list[i] = word(order)
	}
	return list
}

// thueMorse returns the first n terms of the Thue-Morse sequence 0 1 1 0 1 0 0 1
// ...: over 2^(k+1) terms the places of the zeros and of the ones have equal sums
// of their powers up to k, so that a drift of that degree falls on both alike
// (Prouhet 1851; arXiv 1304.6756).
func thueMorse(n int) []int {
	order := make([]int, n)
	for i := range order {
		for bits := i; bits > 0; bits >>= 1 {
			order[i] ^= bits & 1
		}
	}
	return order
}

// varianceOf is the mean variance of a difference between two shoes with a
// straight and with a curved drift taken out.
func varianceOf(shoes int, order []int) (straight, curved float64) {
	e := exposure{shoes: shoes}
	e.add(order)
	return e.variance(false), e.variance(true)
}

// Each treatment follows each other one equally often, once for even numbers and
// twice for odd ones: the property that Williams 1949 (Aust J Sci Res A 2:149)
// made the designs for; number of sequences as in the manual of the R package
// crossdes (rdrr.io/cran/crossdes/man/williams.html).
func TestWilliamsIsBalanced(t *testing.T) {
	for n := 2; n <= 6; n++ {
		rows, each := Williams(n), 1
		if n%2 == 1 {
			each = 2
		}
		if len(rows) != each*n {
			t.Errorf("%d treatments: %d sequences, want %d", n, len(rows), each*n)
		}
		follows, places := newNeighbours(n), newNeighbours(n)
		for _, row := range rows {
			follows.add(row, 1)
			for place, treatment := range row {
				places[place][treatment]++
			}
		}
		for i := range n {
			for j := range n {
				if want := each; i != j && follows[i][j] != want || i == j && follows[i][j] != 0 {
					t.Errorf("%d treatments: %d follows %d %d times, want %d", n, j, i, follows[i][j], want)
				}
				if places[i][j] != each {
					t.Errorf("%d treatments: treatment %d stands %d times in place %d, want %d", n, j, places[i][j],
						i, each)
				}
			}
		}
		if follows.imbalance() != 0 {
			t.Errorf("%d treatments: imbalance %d", n, follows.imbalance())
		}
	}
	if Williams(1) != nil {
		t.Error("one treatment has a design")
	}
}

// The published squares, up to the naming of treatments and the order of rows:
// four treatments ABDC BCAD CDBA DACB; three ABC BCA CAB CBA ACB BAC (crossdes
// manual); six, first row 1 2 6 3 5 4 with 1 added cyclically.
func TestWilliamsAsPublished(t *testing.T) {
	for n, published := range map[int]string{4: "ABDC BCAD CDBA DACB", 3: "ABC ACB BAC BCA CAB CBA",
		6: "ABFCED BCADFE CDBEAF DECFBA EFDACB FAEBDC"} {
		rows := slices.Sorted(slices.Values(words(Williams(n))))
		if got := strings.Join(rows, " "); got != published {
			t.Errorf("%d treatments: %s, published %s", n, got, published)
		}
	}
	follows := newNeighbours(4) // a cyclic Latin square is not balanced (PAASP, within-subject study designs)
	for _, row := range []string{"ABCD", "BCDA", "CDAB", "DABC"} {
		follows.add(letters(row), 1)
	}
	if follows.imbalance() == 0 {
		t.Error("the cyclic Latin square counts as balanced")
	}
}

// Sums over places i = 0..n-1 of +i^p (A) and -i^p (B), exact integers: zero up to
// p = k-1 for n = 2^k (Prouhet; arXiv 1304.6756), and the first that is not.
func TestThueMorseSums(t *testing.T) {
	for _, c := range []struct{ n, zeroUpTo, first int }{{4, 1, 4}, {8, 2, -48}, {16, 3, 1536}, {32, 4, -122880}} {
		for p := 0; p <= c.zeroUpTo+1; p++ {
			sum := 0
			for i, s := range thueMorse(c.n) {
				term := 1 - 2*s
				for range p {
					term *= i
				}
				sum += term
			}
			want := 0
			if p > c.zeroUpTo {
				want = c.first
			}
			if sum != want {
				t.Errorf("n = %d, p = %d: %d, want %d", c.n, p, sum, want)
			}
		}
	}
	if got := word(thueMorse(8)); got != "ABBABAAB" {
		t.Errorf("the first eight are %s", got)
	}
}

// Mean power of the places of B less that of A, places from 1: arithmetic, as in
// any table of drift bias for two treatments.
func TestDriftBias(t *testing.T) {
	for order, want := range map[string][3]float64{
		"AB": {1, 3, 7}, "ABAB": {1, 5, 22}, "AABB": {2, 10, 41}, "ABBA": {0, -2, -15}, "ABABAB": {1, 7, 45},
		"ABBAAB": {1. / 3, 7. / 3, 61. / 3}, "ABBAABBA": {0, -2, -27}, "ABBABAAB": {0, 0, 12},
	} {
		for power := 1; power <= 3; power++ {
			if got := driftBias(strings.Split(order, ""), "A", "B", power); math.Abs(got-want[power-1]) > 1e-12 {
				t.Errorf("%s, power %d: %v, want %v", order, power, got, want[power-1])
			}
		}
	}
}

// The mean places of two shoes, by hand.
func TestLean(t *testing.T) {
	for order, want := range map[string]float64{"AB": 1, "ABBA": 0, "AABB": 2, "ABCCBA": 0, "ABCABC": 2, "AAAA": 0} {
		if got := Imbalance(strings.Split(order, "")); got != want {
			t.Errorf("%s: %v, want %v", order, got, want)
		}
	}
}

// recovered is the difference B - A that a least-squares fit with a straight
// drift finds, by the textbook's two normal equations.
func recovered(order []int, y []float64) float64 {
	var dd, dx, xx, dy, xy, my, md float64
	n := float64(len(order))
	for i, s := range order {
		my += y[i] / n
		md += float64(s) / n
	}
	for i, s := range order {
		d, x, v := float64(s)-md, float64(i)-(n-1)/2, y[i]-my
		dd, dx, xx, dy, xy = dd+d*d, dx+d*x, xx+x*x, dy+d*v, xy+x*v
	}
	return (dy*xx - xy*dx) / (dd*xx - dx*dx)
}

// Speeds A 3.500 and B 3.605, less 0.01 i and 0.002 i^2: ABBABAAB gives back the
// difference of 0.105 exactly by the plain means, ABABABAB 0.081 (arithmetic).
// Every order the planner draws from stays within 0.01 of the truth.
func TestDriftRecovery(t *testing.T) {
	speeds := func(order []int) []float64 {
		y := make([]float64, len(order))
		for i, s := range order {
			x := float64(i)
			y[i] = 3.5 + 0.105*float64(s) - 0.01*x - 0.002*x*x
		}
		return y
	}
	plain := func(order []int) float64 {
		y, sum := speeds(order), 0.0
		for i, s := range order {
			sum += y[i] * float64(2*s-1) / 4
		}
		return sum
	}
	for order, want := range map[string]float64{"ABBABAAB": 0.105, "ABABABAB": 0.081} {
		if got := plain(letters(order)); math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, want %v", order, got, want)
		}
	}
	d, _ := New([]string{"a", "b"}, 8, nil, 1)
	for _, order := range d.Set().Orders {
		if got := recovered(order, speeds(order)); math.Abs(got-0.105) > 0.01 {
			t.Errorf("%s: %v, truth 0.105", word(order), got)
		}
	}
}

// Two shoes: ABBA and its opposite for four blocks; the Thue-Morse order among
// those for eight, with the least variance there can be.
func TestSetOfTwoShoes(t *testing.T) {
	d, _ := New([]string{"a", "b"}, 4, nil, 1)
	set := d.Set()
	if got := fmt.Sprint(words(set.Orders)); got != "[ABBA BAAB]" || set.Straight != 1 || set.Admissible != 6 ||
		set.Considered != 6 {
		t.Errorf("four blocks: %v of %+v", got, set)
	}
	d, _ = New([]string{"a", "b"}, 8, nil, 1)
	set = d.Set()
	straight, curved := varianceOf(2, thueMorse(8))
	if !slices.Contains(words(set.Orders), "ABBABAAB") || straight != set.Straight || curved != set.Curved ||
		straight != 0.5 {
		t.Errorf("eight blocks: %v, Thue-Morse %v and %v of %v and %v", words(set.Orders), straight, curved,
			set.Straight, set.Curved)
	}
	if len(set.Orders) < 4 {
		t.Errorf("eight blocks leave %d orders", len(set.Orders))
	}
}

// designs are the designs that a person is likely to run.
var designs = []struct{ shoes, blocks int }{
	{2, 4}, {2, 6}, {2, 8}, {2, 10}, {2, 12}, {2, 16}, {2, 24}, {3, 6}, {3, 7}, {3, 9}, {3, 12}, {4, 8}, {4, 12},
	{5, 10}, {6, 12},
}

func named(shoes int) []string { return strings.Split("a,b,c,d,e,f", ",")[:shoes] }

// In every design the worst order that may be drawn has a smaller variance than a
// random order has on average, with a straight drift and, from three blocks of each
// shoe on, with a curved one.
func TestBetterThanRandom(t *testing.T) {
	source := rand.New(rand.NewPCG(7, 7))
	var lines []string
	for _, c := range designs {
		d, err := New(named(c.shoes), c.blocks, nil, 3)
		if err != nil {
			t.Fatal(err)
		}
		set := d.Set()
		worst, worstCurved := 0.0, 0.0
		for _, order := range set.Orders {
			straight, curved := varianceOf(c.shoes, order)
			worst, worstCurved = max(worst, straight), max(worstCurved, curved)
		}
		order := inRow(d.Blocks)
		sum, sumCurved, finite, lost := 0.0, 0.0, 0.0, 0
		const draws = 2000
		for range draws {
			source.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
			straight, curved := varianceOf(c.shoes, order)
			if math.IsInf(curved, 1) {
				lost++
				continue
			}
			sum, sumCurved, finite = sum+straight, sumCurved+curved, finite+1
		}
		random, randomCurved := sum/finite, sumCurved/finite
		lines = append(lines, fmt.Sprintf("| %d | %d | %d | %s | %.4f | %.4f | %s | %.4f | %.1f %% |", c.shoes,
			c.blocks, len(set.Orders), orders(&set), worst, random, variance(worstCurved), randomCurved, 100*float64(
				lost)/draws))
		if !(worst < random) || len(set.Orders) < 2 {
			t.Errorf("%d shoes, %d blocks: variance %v, random orders %v, %d orders", c.shoes, c.blocks, worst,
				random, len(set.Orders))
		}
		if c.blocks != 2*c.shoes && !(worstCurved < randomCurved) { // ABBA and ABCCBA leave nothing for a curve
			t.Errorf("%d shoes, %d blocks: with a curve %v, random orders %v", c.shoes, c.blocks, worstCurved,
				randomCurved)
		}
	}
	inReadme(t, lines)
}

func orders(set *Set) string {
	if set.Sampled {
		return fmt.Sprintf("%d sampled", set.Considered)
	}
	return fmt.Sprint(set.Considered)
}

func variance(v float64) string {
	if math.IsInf(v, 1) {
		return "none"
	}
	return fmt.Sprintf("%.4f", v)
}

// inReadme checks that a table stands in README.md as it comes out.
func inReadme(t *testing.T, lines []string) {
	t.Helper()
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	if table := strings.Join(lines, "\n"); !strings.Contains(strings.ReplaceAll(string(text), "\r\n", "\n"), table) {
		t.Errorf("README.md does not contain this table:\n%s", table)
	}
}

// driftBias returns the difference between shoes b and a that a drift of place to the
// given power, places from 1, makes by itself: the mean of the powers of the places
// of b less that of a. NaN when one of them is not run.
func driftBias(order []string, a, b string, power int) float64 {
	var sum, count [2]float64
	for i, shoe := range order {
		which := slices.Index([]string{a, b}, shoe)
		if which < 0 {
			continue
		}
		x := 1.0
		for range power {
			x = float64(x * float64(i+1))
		}
		sum[which] += x
		count[which]++
	}
	return sum[1]/count[1] - sum[0]/count[0]
}
