package randomise

import (
	"math"
	"testing"
)

// No plan is lopsided where an even order of the same length exists that costs little: for
// every number of shoes and blocks that fits into a morning, every order that may be drawn has
// the mean places of its shoes as close together as any order has whose variance is within
// 5 % of the least with a straight drift, and with a curved one (A B C C B A is more even than
// what is drawn, and a curved drift would pass for a shoe). Two shoes reach
// the least distance of all orders there are, by arithmetic 0 wherever it can be shared out:
// the places 1 to n sum to n(n+1)/2, of which each shoe needs its share. The reference is a
// walk over every order, not the planner.
func TestNoPlanIsLopsided(t *testing.T) {
	for shoes := 2; shoes <= 6; shoes++ {
		for blocks := shoes; blocks <= 12; blocks++ {
			d, err := New(named(shoes), blocks, nil, 1)
			if err != nil {
				t.Fatal(err)
			}
			set := d.Set()
			most := 0.0
			for _, order := range set.Orders {
				most = max(most, Imbalance(d.Names(order)))
			}
			if set.Sampled {
				continue // a sample need not hold the most even order there is
			}
			affordable, least := closest(&d, shoes)
			if most > affordable+1e-9 {
				t.Errorf("%d shoes, %d blocks: shoes %.3f blocks apart, %.3f can be had", shoes, blocks, most,
					affordable)
			}
			if shoes == 2 && most > least+1e-9 {
				t.Errorf("two shoes, %d blocks: %.3f blocks apart, %.3f can be had", blocks, most, least)
			}
		}
	}
}

// closest walks over every order: the least distance between mean places among those that
// cost little, and among all.
func closest(d *Design, shoes int) (affordable, least float64) {
	straight, curved := math.Inf(1), math.Inf(1)
	everyOrder(d.Blocks, func(order []int) {
		s, _ := varianceOf(shoes, order)
		straight = min(straight, s)
	})
	near := func(order []int) bool {
		s, _ := varianceOf(shoes, order)
		return s <= straight*1.05+1e-9
	}
	everyOrder(d.Blocks, func(order []int) {
		if near(order) {
			_, c := varianceOf(shoes, order)
			curved = min(curved, c)
		}
	})
	affordable, least = math.Inf(1), math.Inf(1)
	everyOrder(d.Blocks, func(order []int) {
		apart := Imbalance(d.Names(order))
		least = min(least, apart)
		if _, c := varianceOf(shoes, order); near(order) && c <= curved*1.05+1e-9 {
			affordable = min(affordable, apart)
		}
	})
	return affordable, least
}

// What a user sees: with two shoes and eight blocks the mean places are the same in every
// order that may be drawn; a plan of old is still drawn as it was.
func TestEightBlocksOfTwoShoesAreEven(t *testing.T) {
	d, _ := New(named(2), 8, nil, 1)
	set := d.Set()
	for _, order := range set.Orders {
		if apart := Imbalance(d.Names(order)); apart != 0 {
			t.Errorf("%s: %v blocks apart", word(order), apart)
		}
	}
	if len(set.Orders) < 4 || set.Candidates() != "all-even" {
		t.Errorf("%d orders of %s", len(set.Orders), set.Candidates())
	}
	d.Even = false
	if old := d.Set(); len(old.Orders) != 12 || old.Candidates() != "all" {
		t.Errorf("a plan of old: %d orders of %s", len(old.Orders), old.Candidates())
	}
}
