package decide

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"soletrial/pipeline/stable"
)

// Block is one block as the decision sees it.
type Block struct {
	// Session, Level, Runner and Shoe are any labels. A level (target) belongs to its
	// session: each level of each session has its own intercept.
	Session, Level, Runner, Shoe string
	// Y is the natural logarithm of the outcome.
	Y float64
	// TimeH is the block's midpoint in hours from any zero of its session, NaN where missing.
	TimeH float64
	// X is ln(held/target) of what was held, of speeds for a pace, NaN where missing.
	X float64
}

// Terms says which terms of the model take part.
type Terms struct{ Drift, Curve, Exponent, Runner bool }

// ordered returns the blocks in an order that does not depend on the order they came in, so
// that neither do the sums over them.
func ordered(blocks []Block) []Block {
	list := slices.Clone(blocks)
	stable.Sort(list, func(a, b Block) int {
		if c := cmp.Compare(a.Session, b.Session); c != 0 {
			return c // as mostly
		}
		return cmp.Or(cmp.Compare(a.Level, b.Level), cmp.Compare(a.Shoe, b.Shoe), cmp.Compare(a.TimeH, b.TimeH),
			cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X))
	})
	return list
}

// checkBlocks names the first block that cannot take part.
func checkBlocks(blocks []Block) error {
	if len(blocks) == 0 {
		return errors.New("no blocks to decide from")
	}
	runner := map[string]string{}
	for i, b := range blocks {
		if math.IsNaN(b.Y) || math.IsInf(b.Y, 0) {
			return fmt.Errorf("block %d: the outcome must be a number, not %v", i+1, b.Y)
		}
		if math.IsInf(b.TimeH, 0) || math.IsInf(b.X, 0) {
			return fmt.Errorf("block %d: the time and the effort held must be numbers or missing", i+1)
		}
		if r, seen := runner[b.Session]; seen && r != b.Runner {
			return fmt.Errorf("block %d: session %q has two runners, %q and %q", i+1, b.Session, r, b.Runner)
		}
		runner[b.Session] = b.Runner
	}
	return nil
}

// labels returns the distinct labels that of takes from the blocks, sorted.
func labels(blocks []Block, of func(*Block) string) []string {
	var all []string
	last := ""
	for i := range blocks {
		label := of(&blocks[i])
		if i > 0 && label == last { // as mostly
			continue
		}
		last = label
		if at, known := slices.BinarySearch(all, label); !known {
			all = slices.Insert(all, at, label)
		}
	}
	return all
}

// terms decides which terms take part: time and effort only where every block has them, the
// runner only with two or more.
func (s Settings) terms(blocks []Block, runners int) Terms {
	time, effort := true, true
	for _, b := range blocks {
		time = time && !math.IsNaN(b.TimeH)
		effort = effort && !math.IsNaN(b.X)
	}
	return Terms{
		Drift:    time && s.Drift != NoDrift,
		Curve:    time && s.Drift == CurvedDrift,
		Exponent: effort && s.Prior.Exponent != Exponent{},
		Runner:   runners > 1,
	}
}
