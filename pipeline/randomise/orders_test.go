package randomise

import (
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/trial"
)

// planOf is the plan that the design of some sessions draws.
func planOf(t *testing.T, shoes, blocks int, earlier [][]string, seed uint64) (*trial.PlanFacts, Set) {
	t.Helper()
	d, err := New(named(shoes), blocks, earlier, seed)
	if err != nil {
		t.Fatal(err)
	}
	set := d.Set()
	place := d.Choose(&set)
	facts := &trial.PlanFacts{Shoes: d.Shoes, Order: d.Names(set.Orders[place])}
	facts.Draw.Seed, facts.Draw.Orders, facts.Draw.Place = float64(seed), float64(len(set.Orders)), float64(place+1)
	facts.Draw.Candidates = set.Candidates()
	for _, order := range earlier {
		facts.Draw.Earlier = append(facts.Draw.Earlier, strings.Join(order, " "))
	}
	return facts, set
}

// A plan gives again the orders that it was drawn from, also with one block of each shoe, and says
// what does not fit.
func TestOrdersOfAPlan(t *testing.T) {
	for _, c := range []struct {
		shoes, blocks int
		earlier       [][]string
	}{{2, 8, nil}, {3, 3, nil}, {3, 7, [][]string{{"a", "b", "b", "a"}}}, {2, 10, [][]string{{"a", "b"}, {"b", "a"}}}} {
		facts, set := planOf(t, c.shoes, c.blocks, c.earlier, 7)
		list, err := Orders(facts)
		if err != nil || len(list) != len(set.Orders) {
			t.Errorf("%d shoes, %d blocks: %d orders, want %d: %v", c.shoes, c.blocks, len(list), len(set.Orders), err)
			continue
		}
		if got := list[int(facts.Draw.Place)-1]; !slices.Equal(got, facts.Order) {
			t.Errorf("%d shoes, %d blocks: the order drawn is %v, want %v", c.shoes, c.blocks, got, facts.Order)
		}
	}
	for want, change := range map[string]func(p *trial.PlanFacts){
		"the plan says 5 orders, its numbers give 4": func(p *trial.PlanFacts) { p.Draw.Orders++ },
		"seed 7 draws another order":                 func(p *trial.PlanFacts) { p.Draw.Place++ },
		"seed 8 draws another order": func(p *trial.PlanFacts) {
			p.Draw.Seed, p.Draw.Place = 8, 5
		},
		`shoe "x" of the order is not among the shoes`: func(p *trial.PlanFacts) { p.Order[0] = "x" },
		"a shoe of the plan has no block":              func(p *trial.PlanFacts) { p.Shoes = named(3) },
		"the plan has 7 shoes and 8 blocks; a session is planned for 2 to 6 shoes": func(p *trial.PlanFacts) {
			p.Shoes = strings.Fields("a b c d e f g")
		},
		"the plan has 1 shoe and 8 blocks": func(p *trial.PlanFacts) { p.Shoes = named(1) },
		"2 shoes and 41 blocks":            func(p *trial.PlanFacts) { p.Order = make([]string, 41) },
	} {
		facts, _ := planOf(t, 2, 8, nil, 7)
		change(facts)
		if _, err := Orders(facts); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// The largest plan that is drawn is read.
func TestLargestPlan(t *testing.T) {
	facts := &trial.PlanFacts{Shoes: named(6)}
	for range MaxBlocks / 2 {
		facts.Order = append(facts.Order, "a", "b")
	}
	facts.Order[0], facts.Order[1], facts.Order[2], facts.Order[3] = "c", "d", "e", "f"
	if d, err := planned(facts); err != nil || !slices.Equal(d.Blocks, []int{18, 18, 1, 1, 1, 1}) {
		t.Errorf("%+v, %v", d, err)
	}
}

// By hand: in a b b a, b comes once after a, once after itself, and a once after b; in b a a, a
// after b and after itself. One block alone has no neighbour but begins a session; what is not of the
// design counts for neither.
func TestPastByHand(t *testing.T) {
	d := Design{Shoes: named(2), Earlier: [][]string{{"a", "b", "b", "a"}, {"b", "a", "a"}, {"a"}, {"x", "b"}, {}}}
	past := d.past()
	if got, want := past.neighbours, (neighbours{{1, 1}, {2, 1}}); !slices.EqualFunc(got, want, slices.Equal) {
		t.Errorf("neighbours %v, want %v", got, want)
	}
	if want := []int{2, 1}; !slices.Equal(past.starts, want) {
		t.Errorf("first shoes %v, want %v", past.starts, want)
	}
	// n - n²/N and -n m/N over sessions with n and m of N blocks: 2 - 4/4 and 2 - 4/3; one block alone says nothing.
	for i, row := range [][]float64{{5.0 / 3, -5.0 / 3}, {-5.0 / 3, 5.0 / 3}} {
		for j, want := range row {
			if got := past.means[i][j]; math.Abs(got-want) > 1e-12 {
				t.Errorf("information on %d and %d: %v, want %v", i, j, got, want)
			}
		}
	}
	if past.sessions != 4 {
		t.Errorf("%d sessions hold a shoe of the design, want 4", past.sessions)
	}
}

// The variance of a difference is 1/n + 1/m after one session, (n + m)/(n m), and with information
// from before the inverse of the sum of both.
func TestVariancesByHand(t *testing.T) {
	none := [][]float64{{0, 0, 0}, {0, 0, 0}, {0, 0, 0}}
	for _, c := range []struct {
		before [][]float64
		blocks []int
		want   float64
	}{
		{none, []int{2, 2}, 1}, {none, []int{1, 3}, 4.0 / 3}, {none, []int{2, 2, 2}, 3},
		{none, []int{3, 2, 2}, 1 + 5.0/3},
		{[][]float64{{}, {1}}, []int{2, 2}, 0.5}, {[][]float64{{}, {0.5}}, []int{1, 3}, 0.8},
	} {
		if got := variances(c.before, c.blocks); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v blocks after %v: %v, want %v", c.blocks, c.before, got, c.want)
		}
	}
}

// An order exchanges two shoes if every other stands where it was run.
func TestExchanges(t *testing.T) {
	run := strings.Fields("a b c c b a")
	for order, want := range map[string]bool{"a b c c b a": true, "b a c c a b": true, "b b c c a a": true,
		"c b a a b c": false, "a c b c b a": false, "a b c b c a": false} {
		if got := exchanges(run, strings.Fields(order), "a", "b"); got != want {
			t.Errorf("%s for %v: %v", order, run, got)
		}
	}
}

// Of three blocks A B A is the one order in which a drift takes nothing from the difference: no
// other may be drawn by the rule that looks at the variance alone.
func TestOneOrderMayBeAll(t *testing.T) {
	for _, rule := range []Rule{BalanceFirst, VarianceFirst, VarianceOnly} {
		d, err := New(named(2), 3, nil, 1)
		if err != nil {
			t.Fatal(err)
		}
		d.Rule = rule
		set := d.Set()
		if got := words(set.Orders); !slices.Equal(got, []string{"ABA"}) {
			t.Errorf("rule %d: %v", rule, got)
		}
	}
}
