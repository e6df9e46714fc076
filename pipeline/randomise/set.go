package randomise

import (
	"math/rand/v2"

	"soletrial/pipeline/trial"
)

// How much worse than the best an order may be and still be chosen, as a factor
// of the variance. Without some room eight blocks of two shoes would leave two
// orders, and a test over two orders can show nothing.
const (
	straightRoom = 1.05
	curvedRoom   = 1.05
	jointRoom    = 1.05
)

// fewest is how many orders the rules that look at other sessions must leave to
// be followed to the letter: chance needs a choice.
const fewest = 4

// Streams of the generator, so that the choice does not depend on the candidates.
const (
	candidateStream = 1
	drawStream      = 2
)

// Set is the orders that a plan may choose from.
type Set struct {
	Orders     [][]int // shoes by number, in lexicographic order
	Admissible int     // orders with these blocks of each shoe; stops counting beyond 1e9
	Considered int     // of which were scored: all of them, or the sampled candidates
	Sampled    bool    // whether there were more than EnumerationLimit
	Rule       Rule    // what went first
	// Straight and Curved are the least mean variance of a difference between two
	// shoes that any order scored for it reaches, in units of a block's variance, with
	// a straight and with a curved drift taken out; +Inf where no order tells the
	// shoes from the drift, as where one block of each is all there is.
	Straight, Curved float64
}

// Rule is what goes first where an order is chosen.
type Rule int

const (
	// BalanceFirst takes the orders with the mean places of the shoes closest together,
	// and of these the ones with the least variance.
	BalanceFirst Rule = iota
	// VarianceFirst takes the orders with the least variance, and of these the ones with
	// the closest mean places; earlier plans were drawn so.
	VarianceFirst
	// VarianceOnly is the rule of the first plans: mean places do not count.
	VarianceOnly
)

// Set returns the orders to choose from. It depends on the design alone, so that
// everyone who has the plan can make it again. Of all orders (or of sampled ones,
// where there are more than [EnumerationLimit]) it keeps those
//
//   - with the mean places of the shoes as close together as any order has them: a
//     reader sees at once that no shoe had the fresher legs, and a straight drift
//     falls on all alike,
//   - and, of these, whose variance of the shoe differences is within 5 % of the least
//     when a straight drift is taken out, as the analysis does,
//   - and within 5 % of the least that is left when a curved one is taken out too,
//   - and within 5 % of the least over this and all sessions before,
//   - in which, counted over all sessions, shoes follow each other most evenly,
//   - that start with a shoe that has started least often.
//
// The last three are loosened where they would leave fewer than four orders. With two
// blocks of each shoe the first rule leaves the mirrored orders, such as A B C C B A:
// a curved drift then passes for a shoe in one session, as in A B B A, and the
// sessions planned after it make up for that. Under [VarianceFirst] the first rule
// comes third.
func (d *Design) Set() Set {
	set := Set{Admissible: admissible(d.Blocks), Rule: d.Rule}
	set.Sampled = set.Admissible > EnumerationLimit
	orders := d.candidates(set.Sampled)
	set.Considered = len(orders)
	past := d.past()
	if d.Rule == BalanceFirst {
		orders = d.balanced(orders)
	}
	orders, set.Straight = within(orders, straightRoom, 1,
		func(order []int) float64 { return past.alone(order).variance(false) })
	orders, set.Curved = within(orders, curvedRoom, 1,
		func(order []int) float64 { return past.alone(order).variance(true) })
	if d.Rule == VarianceFirst {
		orders = d.balanced(orders)
	}
	if past.sessions > 0 {
		orders, _ = within(orders, jointRoom, fewest,
			func(order []int) float64 { return past.with(order).variance(true) })
	}
	orders, _ = within(orders, 1, fewest, past.unevenness)
	set.Orders, _ = within(orders, 1, fewest, func(order []int) float64 { return float64(past.starts[order[0]]) })
	return set
}

// balanced keeps the orders with the mean places of the shoes closest together.
func (d *Design) balanced(orders [][]int) [][]int {
	kept, _ := within(orders, 1, 1, func(order []int) float64 { return imbalance(order, len(d.Shoes)) })
	return kept
}

// Candidates says in a word of plan.yaml which orders were examined, and what went
// first.
func (s *Set) Candidates() string {
	words := candidateWords[s.Rule]
	if s.Sampled {
		return words.sampled
	}
	return words.all
}

// candidateWords are the words of plan.yaml for each rule.
var candidateWords = map[Rule]struct{ all, sampled string }{
	BalanceFirst:  {trial.AllBalancedOrders, trial.SampledBalancedOrders},
	VarianceFirst: {trial.AllEvenOrders, trial.SampledEvenOrders},
	VarianceOnly:  {trial.AllOrders, trial.SampledOrders},
}

// ruleOf is the rule that a plan was drawn by.
func ruleOf(candidates string) Rule {
	for rule, words := range candidateWords {
		if candidates == words.all || candidates == words.sampled {
			return rule
		}
	}
	return VarianceOnly
}

func (d *Design) candidates(sampled bool) [][]int {
	if sampled {
		return sampledOrders(d.Blocks, d.Seed, d.Rule)
	}
	n := 0
	for _, blocks := range d.Blocks {
		n += blocks
	}
	all, flat := make([][]int, 0, admissible(d.Blocks)), make([]int, 0, n*admissible(d.Blocks))
	everyOrder(d.Blocks, func(order []int) {
		flat = append(flat, order...)
		all = append(all, flat[len(flat)-n:len(flat):len(flat)])
	})
	return all
}

// Choose returns the place in the set, from 0, of the order that the seed chooses.
func (d *Design) Choose(set *Set) int {
	return rand.New(rand.NewPCG(d.Seed, drawStream)).IntN(len(set.Orders))
}

// past is what the sessions before come to.
type past struct {
	exposure
	neighbours neighbours
	starts     []int // how often each shoe was run first
}

func (d *Design) past() *past {
	k := len(d.Shoes)
	p := &past{exposure{shoes: k}, newNeighbours(k), make([]int, k)}
	for _, order := range d.earlier() {
		p.add(order)
		p.neighbours.add(order, 1)
		if len(order) > 0 && order[0] >= 0 {
			p.starts[order[0]]++
		}
	}
	return p
}

// alone is the exposure of one session by itself.
func (p *past) alone(order []int) *exposure {
	e := exposure{shoes: p.shoes}
	e.add(order)
	return &e
}

// with is the exposure of the sessions before and one more.
func (p *past) with(order []int) *exposure {
	e := p.exposure
	e.add(order)
	return &e
}

// unevenness is how unevenly shoes follow each other with one more session.
func (p *past) unevenness(order []int) float64 {
	p.neighbours.add(order, 1)
	uneven := p.neighbours.imbalance()
	p.neighbours.add(order, -1)
	return float64(uneven)
}

// within keeps the orders whose score is at most room times the least, and the next
// best while there are fewer than at least; all of them where no order has a score.
func within(orders [][]int, room float64, atLeast int, score func([]int) float64) (kept [][]int, least float64) {
	scores := make([]float64, len(orders))
	for i, order := range orders {
		scores[i] = score(order)
	}
	lowest := lowestOf(scores, atLeast)
	least = lowest[0]
	bound := max(float64(least*room), lowest[len(lowest)-1]) + 1e-9
	for i, order := range orders {
		if scores[i] <= bound {
			kept = append(kept, order)
		}
	}
	return kept, least
}

// lowestOf returns the n lowest scores, ascending, or all where there are fewer.
func lowestOf(scores []float64, n int) []float64 {
	lowest := make([]float64, 0, n+1)
	for _, x := range scores {
		at := len(lowest)
		for at > 0 && x < lowest[at-1] {
			at--
		}
		if at == n {
			continue
		}
		lowest = append(lowest, 0)
		copy(lowest[at+1:], lowest[at:])
		lowest[at] = x
		lowest = lowest[:min(n, len(lowest))]
	}
	return lowest
}
