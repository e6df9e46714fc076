package randomise

import (
	"math"
	"slices"
)

// exposure is what is known of each shoe, and what drift does to it: the
// information on the shoes when each session's mean is taken out, the sum over
// sessions of diag(n) - n n'/N for n blocks of each shoe and N in all; and for
// each shoe the sums over its blocks of the straight and of the curved part of a
// drift. Places are centred in their session, and the curved part is the square of
// the place less its mean, so that the two parts and the session's mean do not
// mix. It is a plain value: a copy stands by itself.
type exposure struct {
	shoes, sessions  int
	means            square
	straight, curved [MaxShoes]float64
	straightAll      float64 // sum of squares of the straight part
	curvedAll        float64
}

// square is a matrix of the shoes.
type square [MaxShoes][MaxShoes]float64

// add takes a session in; a shoe that is not among those examined is below 0.
func (e *exposure) add(order []int) {
	var blocks [MaxShoes]float64
	middle, mean := float64(len(order)-1)/2, meanSquare(len(order))
	kept := 0.0
	for i, s := range order {
		if s < 0 {
			continue
		}
		x := float64(i) - middle
		bend := float64(x*x) - mean
		blocks[s]++
		kept++
		e.straight[s] += x
		e.curved[s] += bend
		e.straightAll += float64(x * x)
		e.curvedAll += float64(bend * bend)
	}
	if kept == 0 {
		return
	}
	e.sessions++
	for i := range e.shoes {
		e.means[i][i] += blocks[i]
	}
	e.means.subtract(e.shoes, &blocks, kept)
}

// meanSquare is the mean of the squared centred places of n blocks, (n^2-1)/12.
func meanSquare(n int) float64 { return (float64(float64(n)*float64(n)) - 1) / 12 }

// variance returns the mean variance of the difference between two shoes, in
// units of the variance of one block, when a least-squares fit takes out each
// session's mean and a straight drift, a curved one too where asked; +Inf when
// some difference cannot be told from the drift. Each part of the drift takes
// S S'/(its sum of squares) off the information (the partitioned normal equations
// of least squares).
func (e *exposure) variance(curved bool) float64 {
	c := e.means
	c.subtract(e.shoes, &e.straight, e.straightAll)
	if curved {
		c.subtract(e.shoes, &e.curved, e.curvedAll)
	}
	return c.meanVariance(e.shoes)
}

// subtract takes v v'/by off the first n rows and columns.
func (c *square) subtract(n int, v *[MaxShoes]float64, by float64) {
	if by == 0 {
		return
	}
	for i := range n {
		for j := range n {
			c[i][j] -= float64(v[i] * v[j] / by)
		}
	}
}

// meanVariance is the mean of the variances of all pairwise differences, given
// the information on the shoes, whose rows sum to zero. The last shoe is set to
// zero and the rest inverted.
func (c *square) meanVariance(shoes int) float64 {
	free := shoes - 1
	if !c.invert(free) {
		return math.Inf(1)
	}
	sum, pairs := 0.0, 0.0
	for i := range free {
		sum += c[i][i]
		pairs++
		for j := range i {
			sum += c[i][i] + c[j][j] - float64(2*c[i][j])
			pairs++
		}
	}
	return sum / pairs
}

// invert inverts the first n rows and columns of a symmetric matrix that has no
// negative direction in place, by Gauss-Jordan elimination; false when it is
// singular.
func (c *square) invert(n int) bool {
	for p := range n {
		pivot := c[p][p]
		if !(pivot > 1e-9) {
			return false
		}
		c[p][p] = 1
		for j := range n {
			c[p][j] /= pivot
		}
		for i := range n {
			if i == p {
				continue
			}
			factor := c[i][p]
			c[i][p] = 0
			for j := range n {
				c[i][j] -= float64(factor * c[p][j])
			}
		}
	}
	return true
}

// Imbalance is how far apart in the session two shoes lie at most, in blocks: the
// largest difference between the mean places of two shoes. Times the drift from
// block to block it is the error of a plain difference.
func Imbalance(order []string) float64 {
	shoes := slices.Compact(slices.Sorted(slices.Values(order)))
	numbers := make([]int, len(order))
	for i, shoe := range order {
		numbers[i] = slices.Index(shoes, shoe)
	}
	return imbalance(numbers, len(shoes))
}

// imbalance is [Imbalance] of an order of so many shoes by number.
func imbalance(order []int, shoes int) float64 {
	var room [2][MaxShoes]float64 // on the stack, for an order of a design
	sum, count := room[0][:], room[1][:]
	if shoes > MaxShoes {
		sum, count = make([]float64, shoes), make([]float64, shoes)
	}
	for i, s := range order {
		sum[s] += float64(i)
		count[s]++
	}
	first, last := math.Inf(1), math.Inf(-1)
	for s := range shoes {
		if count[s] > 0 {
			first, last = min(first, sum[s]/count[s]), max(last, sum[s]/count[s])
		}
	}
	return max(0, last-first)
}
