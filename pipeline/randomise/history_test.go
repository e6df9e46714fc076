package randomise

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// drawn plans one session after another and returns their orders.
func drawn(t *testing.T, shoes, blocks, sessions int, seed uint64) (orders [][]int, earlier [][]string) {
	t.Helper()
	for range sessions {
		d, err := New(named(shoes), blocks, earlier, seed)
		if err != nil {
			t.Fatal(err)
		}
		seed++
		set := d.Set()
		order := set.Orders[d.Choose(&set)]
		orders, earlier = append(orders, order), append(earlier, d.Names(order))
	}
	return orders, earlier
}

// With one block of each shoe no session says anything about the drift by itself;
// planned one after another they do, and better than chance would have it: every
// shoe is run first about equally often, and shoes follow each other evenly.
func TestSessionsMakeUpForEachOther(t *testing.T) {
	for shoes := 3; shoes <= 6; shoes++ {
		sessions := len(Williams(shoes))
		var uneven, random, variance, randomVariance float64
		for seed := range uint64(10) {
			orders, _ := drawn(t, shoes, shoes, sessions, 100*seed+1)
			u, v := together(shoes, orders)
			uneven, variance = uneven+u, variance+v
			for i := range orders {
				d, _ := New(named(shoes), shoes, nil, 7*seed+uint64(i))
				free := Set{Orders: d.candidates(false)}
				orders[i] = free.Orders[d.Choose(&free)]
			}
			u, v = together(shoes, orders)
			random, randomVariance = random+u, randomVariance+v
		}
		t.Logf("%d shoes once in each of %d sessions: unevenness %.1f, by chance %.1f; variance %.4f, by chance %.4f",
			shoes, sessions, uneven/10, random/10, variance/10, randomVariance/10)
		if !(uneven < 0.75*random) || !(variance < randomVariance) {
			t.Errorf("%d shoes: unevenness %v and variance %v, by chance %v and %v", shoes, uneven, variance, random,
				randomVariance)
		}
	}
}

func together(shoes int, orders [][]int) (uneven, variance float64) {
	follows, e := newNeighbours(shoes), exposure{shoes: shoes}
	for _, order := range orders {
		follows.add(order, 1)
		e.add(order)
	}
	return float64(follows.imbalance()), e.variance(true)
}

// Where the choice is wide enough the shoe that has been first less often goes
// first.
func TestFirstShoeTakesTurns(t *testing.T) {
	for seed := range uint64(20) {
		orders, _ := drawn(t, 2, 8, 6, seed)
		first := 0
		for _, order := range orders {
			first += order[0]
		}
		if first < 2 || first > 4 {
			t.Errorf("seed %d: shoe b goes first in %d of 6 sessions", seed, first)
		}
	}
}

// After a session that one shoe began, the other begins each order that may be drawn; ten or
// twelve blocks leave at least four such orders.
func TestTheOtherShoeGoesFirst(t *testing.T) {
	for _, c := range []struct{ earlier, first string }{
		{"a b b a b a a b", "b"}, {"a b b a a b b a", "b"}, {"b a a b a b b a", "a"}, {"b a a b b a a b", "a"},
		{"a", "b"}, {"b", "a"},
	} {
		for _, blocks := range []int{10, 12} {
			d, err := New(named(2), blocks, [][]string{strings.Fields(c.earlier)}, 1)
			if err != nil {
				t.Fatal(err)
			}
			set := d.Set()
			for _, order := range set.Orders {
				if first := d.Names(order)[0]; first != c.first {
					t.Errorf("after %s comes %s", c.earlier, word(order))
				}
			}
		}
	}
}

// The blocks that are left over go where least is known.
func TestExtraBlocks(t *testing.T) {
	for _, c := range []struct{ blocks, earlier, want string }{
		{"7", "", "3 2 2"},
		{"7", "a b b a", "2 2 3"},
		{"8", "a b b a", "3 2 3"},
		{"8", "b c c b", "3 3 2"},
		{"6", "a b b a", "2 2 2"},
	} {
		var earlier [][]string
		if c.earlier != "" {
			earlier = [][]string{strings.Fields(c.earlier)}
		}
		d, err := New(named(3), int(c.blocks[0]-'0'), earlier, 1)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range d.Blocks {
			got = append(got, string(rune('0'+n)))
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s blocks after %q: %v, want %s", c.blocks, c.earlier, got, c.want)
		}
	}
	pairs := Pairs(named(3), [][]string{{"a", "b", "b", "a"}, {"a", "x", "c"}})
	if pairs[0] != (Pair{"b", "c", 0}) || pairs[1] != (Pair{"a", "c", 0.5}) || pairs[2] != (Pair{"a", "b", 1}) {
		t.Errorf("the pairs are %v", pairs)
	}
}

func TestNewRefuses(t *testing.T) {
	for want, c := range map[string]struct {
		shoes  string
		blocks int
	}{
		"1 shoe: a session is planned for 2 to 6":        {"a", 4},
		"7 shoes: a session is planned for 2 to 6":       {"a b c d e f g", 14},
		"a shoe is named twice in a,b,a":                 {"a b a", 6},
		"2 blocks are not enough for 3 shoes":            {"a b c", 2},
		"41 blocks: a session is planned for at most 40": {"a b", 41},
	} {
		if _, err := New(strings.Fields(c.shoes), c.blocks, nil, 1); err == nil || err.Error() != want {
			t.Errorf("%s, %d blocks: %v, want %s", c.shoes, c.blocks, err, want)
		}
	}
}

// A set holds each order once, each with the blocks asked for, none much worse
// than the best; the same numbers give the same set.
func TestSetProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shoes := rapid.IntRange(2, 4).Draw(t, "shoes")
		blocks := rapid.IntRange(shoes, 9).Draw(t, "blocks")
		var earlier [][]string
		for range rapid.IntRange(0, 3).Draw(t, "sessions") {
			earlier = append(earlier, rapid.SliceOfN(rapid.SampledFrom(named(5)), 2, 8).Draw(t, "earlier"))
		}
		d, err := New(named(shoes), blocks, earlier, rapid.Uint64().Draw(t, "seed"))
		if err != nil {
			t.Fatal(err)
		}
		set, again := d.Set(), d.Set()
		if !slices.EqualFunc(set.Orders, again.Orders, slices.Equal) {
			t.Fatal("another set the second time")
		}
		if !slices.IsSortedFunc(set.Orders, slices.Compare) ||
			len(slices.CompactFunc(slices.Clone(set.Orders), slices.Equal)) != len(set.Orders) || len(set.Orders) < 1 {
			t.Fatalf("not in order, or twice the same: %v", words(set.Orders))
		}
		if place := d.Choose(&set); place < 0 || place >= len(set.Orders) {
			t.Fatalf("drew %d of %d", place, len(set.Orders))
		}
		for _, order := range set.Orders {
			if !slices.Equal(slices.Sorted(slices.Values(order)), inRow(d.Blocks)) {
				t.Fatalf("%s has other blocks than %v", word(order), d.Blocks)
			}
			if straight, _ := varianceOf(shoes, order); straight > 1.05*set.Straight+1e-6 &&
				!math.IsInf(set.Straight, 1) {
				t.Fatalf("%s has variance %v, the best %v", word(order), straight, set.Straight)
			}
		}
	})
}

// Candidates are counted by the multinomial coefficient and listed once each.
func TestCandidates(t *testing.T) {
	for _, c := range []struct {
		counts []int
		want   int
	}{{[]int{2, 2}, 6}, {[]int{4, 4}, 70}, {[]int{2, 2, 2}, 90}, {[]int{3, 2, 2}, 210}, {[]int{2, 2, 2, 2}, 2520},
		{[]int{1, 1, 1, 1, 1, 1}, 720}} {
		n := 0
		everyOrder(c.counts, func([]int) { n++ })
		if n != c.want || admissible(c.counts) != c.want {
			t.Errorf("%v: listed %d, counted %d, want %d", c.counts, n, admissible(c.counts), c.want)
		}
	}
	if n := admissible([]int{20, 20}); n <= 1_000_000_000 {
		t.Errorf("forty blocks of two shoes: %d orders", n)
	}
	sampled := func(rule Rule) [][]int { return sampledOrders([]int{2, 2, 2, 2, 2, 2}, 9, rule) }
	if n := len(sampled(BalanceFirst)); n != 720 { // A B C D E F F E D C B A, with the names changed: 6!
		t.Errorf("%d candidates are balanced, want 720", n)
	}
	one, two := sampled(VarianceFirst), sampled(VarianceFirst)
	if len(one) < 10_000 || !slices.EqualFunc(one, two, slices.Equal) {
		t.Errorf("%d candidates, the same again: %v", len(one), slices.EqualFunc(one, two, slices.Equal))
	}
}
