package randomise

import (
	"math/rand/v2"
	"slices"
	"sort"
)

const (
	// EnumerationLimit is how many orders are examined one by one.
	EnumerationLimit = 200_000
	// SampledCandidates is how many are sampled to choose from where there are more.
	SampledCandidates = 20_000
)

// admissible counts the orders with the given blocks of each shoe, the
// multinomial coefficient; past a thousand million it stops counting and returns
// what it has.
func admissible(counts []int) int {
	total, placed := 1, 0
	for _, n := range counts {
		for i := 1; i <= n; i++ {
			placed++
			total = total * placed / i
			if total > 1_000_000_000 {
				return total
			}
		}
	}
	return total
}

// everyOrder calls see with every order of the given blocks of each shoe, in
// lexicographic order. The slice is used again.
func everyOrder(counts []int, see func([]int)) {
	order := inRow(counts)
	for {
		see(order)
		i := len(order) - 2
		for i >= 0 && order[i] >= order[i+1] {
			i--
		}
		if i < 0 {
			return
		}
		j := len(order) - 1
		for order[j] <= order[i] {
			j--
		}
		order[i], order[j] = order[j], order[i]
		slices.Reverse(order[i+1:])
	}
}

// inRow is the order that comes first: all blocks of shoe 0, then of shoe 1, ...
func inRow(counts []int) []int {
	var order []int
	for s, n := range counts {
		for range n {
			order = append(order, s)
		}
	}
	return order
}

// sampledOrders draws candidates by the seed. Where every shoe has as many blocks,
// one half is rows of Williams designs, each row followed by its mirror image,
// and of every order drawn those come with it in which the shoes have moved on by
// one, two, ...: then no drift favours a shoe on average over the candidates.
// Otherwise any order may be drawn. Where balance goes first each order drawn is
// balanced, since chance alone hardly finds such ones. They come in lexicographic
// order, each once.
func sampledOrders(counts []int, seed uint64, rule Rule) [][]int {
	source := rand.New(rand.NewPCG(seed, candidateStream))
	even := slices.Max(counts) == slices.Min(counts)
	all := make([][]int, 0, SampledCandidates)
	for i := 0; len(all) < SampledCandidates; i++ {
		order := inRow(counts)
		if even && i%2 == 1 {
			order = rowsAndMirrors(len(counts), counts[0], source)
		} else {
			source.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		}
		if rule == BalanceFirst {
			balance(order, len(counts))
		}
		all = append(all, order)
		for shift := 1; even && shift < len(counts); shift++ {
			all = append(all, movedOn(order, shift, len(counts)))
		}
	}
	// Each once, in lexicographic order.
	sort.Slice(all, func(i, j int) bool { return slices.Compare(all[i], all[j]) < 0 })
	kept := all[:1]
	for _, order := range all[1:] {
		if !slices.Equal(order, kept[len(kept)-1]) {
			kept = append(kept, order)
		}
	}
	return kept
}

// balance swaps two blocks after another until no swap brings the places of the shoes
// closer to the middle of the session. How far shoe s is off it is the sum of its
// places less that of as many middle places, doubled to stay whole; the sum of the
// squares of these is to be least. Swapping shoe a in place i with shoe b in a later
// place j moves them by +d and -d, d = 2 (j - i), and so adds 2 d (off a - off b + d).
func balance(order []int, shoes int) {
	off := make([]int, shoes)
	for i, s := range order {
		off[s] += 2*i - (len(order) - 1)
	}
	for {
		best, bestI, bestJ := 0, 0, 0
		for i, a := range order {
			for j := i + 1; j < len(order); j++ {
				by, b := 2*(j-i), order[j]
				if change := by * (off[a] - off[b] + by); a != b && change < best {
					best, bestI, bestJ = change, i, j
				}
			}
		}
		if best == 0 {
			return
		}
		a, b := order[bestI], order[bestJ]
		off[a] += 2 * (bestJ - bestI)
		off[b] -= 2 * (bestJ - bestI)
		order[bestI], order[bestJ] = b, a
	}
}

func movedOn(order []int, shift, shoes int) []int {
	order = slices.Clone(order)
	for i := range order {
		order[i] = (order[i] + shift) % shoes
	}
	return order
}

// rowsAndMirrors chains rows of a Williams design, times of them in all.
func rowsAndMirrors(shoes, times int, source *rand.Rand) []int {
	rows := Williams(shoes)
	var order []int
	for len(order) < shoes*times {
		names := source.Perm(shoes)
		row := slices.Clone(rows[source.IntN(len(rows))])
		for i := range row {
			row[i] = names[row[i]]
		}
		order = append(order, row...)
		if len(order) < shoes*times {
			order = append(order, mirrored(row)...)
		}
	}
	return order
}
