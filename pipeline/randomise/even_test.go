package randomise

import (
	"math"
	"testing"
)

// No plan is lopsided where a more even order of the same length exists: for every number
// of shoes and blocks whose orders can all be walked over, no order has the mean places of
// the shoes closer together than the orders that may be drawn. The reference is a walk of
// the test's own.
func TestNoPlanIsLopsided(t *testing.T) {
	for shoes := 2; shoes <= MaxShoes; shoes++ {
		for blocks := shoes; blocks <= 14; blocks++ {
			d, err := New(named(shoes), blocks, nil, 1)
			if err != nil {
				t.Fatal(err)
			}
			if admissible(d.Blocks) > 40_000 {
				continue
			}
			least := closest(d.Blocks)
			set := d.Set()
			for _, order := range set.Orders {
				if apart := Imbalance(d.Names(order)); apart > least+1e-9 {
					t.Errorf("%d shoes, %d blocks: %s has its shoes %.3f blocks apart, %.3f can be had", shoes, blocks,
						word(order), apart, least)
				}
			}
		}
	}
}

// closest walks over every order with the given blocks of each shoe and returns the least
// distance there is between the mean places of two shoes.
func closest(blocks []int) float64 {
	left, sum := append([]int(nil), blocks...), make([]float64, len(blocks))
	least := math.Inf(1)
	var walk func(place int)
	walk = func(place int) {
		done := true
		for s := range left {
			if left[s] == 0 {
				continue
			}
			done = false
			left[s]--
			sum[s] += float64(place)
			walk(place + 1)
			left[s]++
			sum[s] -= float64(place)
		}
		if !done {
			return
		}
		first, last := math.Inf(1), math.Inf(-1)
		for s := range blocks {
			mean := sum[s] / float64(blocks[s])
			first, last = min(first, mean), max(last, mean)
		}
		least = min(least, last-first)
	}
	walk(1)
	return least
}

// Where there are too many orders to look at all, those that may be drawn are as even as
// any can be, by arithmetic: the places 1 to N have the mean (N + 1)/2. Where N is odd, or
// every shoe has an even number of blocks, all shoes can have it; else a shoe with an odd
// number n of blocks misses it by at least a half in the sum of its places, one upwards
// and one downwards, and two of them are at least 1/n apart.
func TestSampledPlansAreEvenToo(t *testing.T) {
	for _, c := range []struct {
		shoes, blocks int
		least         float64
	}{
		{2, 22, 1. / 11}, {3, 15, 0}, {4, 12, 1. / 3}, {5, 11, 0}, {6, 13, 0},
	} {
		d, _ := New(named(c.shoes), c.blocks, nil, 1)
		set := d.Set()
		if !set.Sampled || set.Candidates() != "sampled-balanced" {
			t.Errorf("%d shoes, %d blocks: %s", c.shoes, c.blocks, set.Candidates())
		}
		for _, order := range set.Orders {
			if apart := Imbalance(d.Names(order)); math.Abs(apart-c.least) > 1e-9 {
				t.Errorf("%d shoes, %d blocks: %s has its shoes %.3f blocks apart, %.3f can be had", c.shoes, c.blocks,
					word(order), apart, c.least)
			}
		}
	}
}

// Two blocks of each shoe leave the mirrored orders alone, as A B B A: a curved drift then
// passes for a shoe in one session. The next session makes up for it: over both it can be
// taken out.
func TestMirroredSessionsMakeUpForEachOther(t *testing.T) {
	for shoes := 2; shoes <= 4; shoes++ {
		orders, _ := drawn(t, shoes, 2*shoes, 2, 1)
		if shoes > 2 { // of two shoes A B B A and B A A B are all there are
			if _, curved := varianceOf(shoes, orders[0]); !math.IsInf(curved, 1) {
				t.Errorf("%s: variance %v with a curve", word(orders[0]), curved)
			}
		}
		if _, curved := together(shoes, orders); math.IsInf(curved, 1) {
			t.Errorf("%s: a curve passes for a shoe over both", words(orders))
		}
	}
}

// What a user sees: with two shoes and eight blocks the mean places are the same in every
// order that may be drawn; earlier plans are still drawn as they were.
func TestEightBlocksOfTwoShoesAreEven(t *testing.T) {
	d, _ := New(named(2), 8, nil, 1)
	set := d.Set()
	for _, order := range set.Orders {
		if apart := Imbalance(d.Names(order)); apart != 0 {
			t.Errorf("%s: %v blocks apart", word(order), apart)
		}
	}
	if len(set.Orders) < 4 || set.Candidates() != "all-balanced" {
		t.Errorf("%d orders of %s", len(set.Orders), set.Candidates())
	}
	for rule, want := range map[Rule]struct {
		orders     int
		candidates string
	}{VarianceFirst: {4, "all-even"}, VarianceOnly: {12, "all"}} {
		d.Rule = rule
		if old := d.Set(); len(old.Orders) != want.orders || old.Candidates() != want.candidates {
			t.Errorf("rule %d: %d orders of %s", rule, len(old.Orders), old.Candidates())
		}
	}
}
