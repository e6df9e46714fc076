package randomise

// neighbours counts how often each shoe came right after each shoe.
type neighbours [][]int

func newNeighbours(shoes int) neighbours {
	n := make(neighbours, shoes)
	for i := range n {
		n[i] = make([]int, shoes)
	}
	return n
}

// add counts an order, by times 1 or -1; a shoe that is not among those looked
// at is below 0 and has no neighbours.
func (n neighbours) add(order []int, times int) {
	for i := 1; i < len(order); i++ {
		if order[i-1] >= 0 && order[i] >= 0 {
			n[order[i-1]][order[i]] += times
		}
	}
}

// imbalance is how far first-order carry-over is from falling on all shoes alike:
// the sum of squared deviations from their mean of the counts of one shoe after
// another, and the same for shoes after themselves. A Williams design has 0. It
// is returned times shoes x (shoes - 1), a whole number.
func (n neighbours) imbalance() int {
	k := len(n)
	var other, otherSquares, self, selfSquares int
	for i := range n {
		for j, count := range n[i] {
			if i == j {
				self += count
				selfSquares += count * count
				continue
			}
			other += count
			otherSquares += count * count
		}
	}
	pairs := k * (k - 1)
	return pairs*otherSquares - other*other + (k-1)*(k*selfSquares-self*self)
}
