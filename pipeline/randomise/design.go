package randomise

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/units"
)

// What a plan may ask for.
const (
	MinShoes  = 2
	MaxShoes  = 6
	MaxBlocks = 40
)

// Design is all that a set of orders follows from.
type Design struct {
	Shoes   []string   // ids, each once
	Blocks  []int      // of each shoe
	Earlier [][]string // the shoes of the blocks of each session before, in their order
	Seed    uint64     // decides the order, and the candidates where there are too many to look at all
	Rule    Rule       // what goes first where an order is chosen
}

// New returns the design of a session of the given number of blocks. Where they
// do not divide evenly the extra ones go where they make the variances of all
// differences smallest together, that is to the pairs compared least so far; equal
// choices go to the shoes named first.
func New(shoes []string, blocks int, earlier [][]string, seed uint64) (Design, error) {
	switch {
	case len(shoes) < MinShoes || len(shoes) > MaxShoes:
		return Design{}, errors.New(units.Count(len(shoes), "shoe") + ": a session is planned for " +
			strconv.Itoa(MinShoes) + " to " + strconv.Itoa(MaxShoes))
	case len(slices.Compact(slices.Sorted(slices.Values(shoes)))) < len(shoes):
		return Design{}, errors.New("a shoe is named twice in " + strings.Join(shoes, ","))
	case blocks < len(shoes):
		return Design{}, errors.New(strconv.Itoa(blocks) + " blocks are not enough for " + strconv.Itoa(len(shoes)) +
			" shoes")
	case blocks > MaxBlocks:
		return Design{}, errors.New(strconv.Itoa(blocks) + " blocks: a session is planned for at most " +
			strconv.Itoa(MaxBlocks))
	}
	d := Design{Shoes: slices.Clone(shoes), Blocks: make([]int, len(shoes)), Earlier: earlier, Seed: seed}
	for i := range d.Blocks {
		d.Blocks[i] = blocks / len(shoes)
	}
	for _, i := range d.extraBlockFor(blocks % len(shoes)) {
		d.Blocks[i]++
	}
	return d, nil
}

// extraBlockFor returns the shoes that get one block more.
func (d *Design) extraBlockFor(extra int) (best []int) {
	if extra == 0 {
		return nil
	}
	before := d.information()
	least := math.Inf(1)
	for mask := range 1 << len(d.Shoes) {
		blocks, given := slices.Clone(d.Blocks), []int(nil)
		for i := range d.Shoes {
			if mask>>(len(d.Shoes)-1-i)&1 == 1 { // the first named weighs most
				blocks[i]++
				given = append(given, i)
			}
		}
		if len(given) != extra {
			continue
		}
		if sum := variances(before, blocks); sum <= least+1e-9 { // later masks name earlier shoes
			least, best = min(least, sum), given
		}
	}
	return best
}

// information is what the sessions before say on each pair of shoes: the sum of
// n m/(n + m) over sessions with n blocks of one and m of the other, the inverse
// of the variance of their difference in units of a block's.
func (d *Design) information() [][]float64 {
	info := make([][]float64, len(d.Shoes))
	for i := range info {
		info[i] = make([]float64, len(d.Shoes))
	}
	for _, order := range d.earlier() {
		n := make([]float64, len(d.Shoes))
		for _, s := range order {
			if s >= 0 {
				n[s]++
			}
		}
		for i := range n {
			for j := range i {
				if n[i]+n[j] > 0 {
					info[i][j] += float64(n[i] * n[j] / (n[i] + n[j]))
				}
			}
		}
	}
	return info
}

// variances sums the variances of all pairs' differences after one more session.
func variances(before [][]float64, blocks []int) float64 {
	sum := 0.0
	for i := range blocks {
		for j := range i {
			n, m := float64(blocks[i]), float64(blocks[j])
			sum += 1 / (before[i][j] + float64(n*m/(n+m)))
		}
	}
	return sum
}

// Pair is two shoes and how much is known about their difference: the inverse of
// its variance in units of a block's, from how often both were run in a session.
type Pair struct {
	A, B        string
	Information float64
}

// Pairs lists the pairs of some shoes from the one compared least; equal ones
// stand in the order in which the shoes are named.
func Pairs(shoes []string, earlier [][]string) []Pair {
	d := Design{Shoes: shoes, Earlier: earlier}
	info := d.information()
	var list []Pair
	for i := range shoes {
		for j := i + 1; j < len(shoes); j++ {
			list = append(list, Pair{shoes[i], shoes[j], info[j][i]})
		}
	}
	stable.Sort(list, func(a, b Pair) int {
		switch {
		case a.Information < b.Information:
			return -1
		case a.Information > b.Information:
			return 1
		}
		return 0
	})
	return list
}

// earlier returns the sessions before in numbers; a shoe that is not in the
// design is -1.
func (d *Design) earlier() [][]int {
	list := make([][]int, len(d.Earlier))
	for i, order := range d.Earlier {
		list[i] = make([]int, len(order))
		for j, shoe := range order {
			list[i][j] = slices.Index(d.Shoes, shoe)
		}
	}
	return list
}
