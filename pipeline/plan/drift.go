package plan

import "math"

// exposure is what drift does to each shoe: how many blocks each has, and over
// its blocks the sums of the straight and of the curved part of a drift. Places
// are centred in their session, and the curved part is the square of the place
// less its mean, so that the two parts and the session's mean do not mix.
type exposure struct {
	sessions         [][]float64 // the blocks of each shoe, by session
	straight, curved []float64   // sums by shoe
	straightAll      float64     // sum of squares of the straight part
	curvedAll        float64
}

func newExposure(shoes int) exposure {
	return exposure{straight: make([]float64, shoes), curved: make([]float64, shoes)}
}

// add takes a session in; a shoe that is not among those looked at is below 0.
func (e *exposure) add(order []int) {
	counts := make([]float64, len(e.straight))
	middle, mean := float64(len(order)-1)/2, meanSquare(len(order))
	kept := 0.0
	for i, s := range order {
		if s < 0 {
			continue
		}
		x := float64(i) - middle
		bend := float64(x*x) - mean
		counts[s]++
		kept++
		e.straight[s] += x
		e.curved[s] += bend
		e.straightAll += float64(x * x)
		e.curvedAll += float64(bend * bend)
	}
	if kept > 0 {
		e.sessions = append(e.sessions, counts)
	}
}

// meanSquare is the mean of the squared centred places of n blocks, (n^2-1)/12.
func meanSquare(n int) float64 { return (float64(float64(n)*float64(n)) - 1) / 12 }

// variance returns the mean variance of the difference between two shoes, in
// units of the variance of one block, when a least-squares fit takes out each
// session's mean and a straight drift, a curved one too where asked; +Inf when
// some difference cannot be told from the drift.
//
// The information on the shoes is sum(diag(n) - n n'/N) over sessions, less
// S S'/(sum of squares) for each part of the drift (the partitioned normal
// equations of least squares).
func (e *exposure) variance(curved bool) float64 {
	shoes := len(e.straight)
	c := make([][]float64, shoes)
	for i := range c {
		c[i] = make([]float64, shoes)
	}
	for _, n := range e.sessions {
		total := 0.0
		for _, blocks := range n {
			total += blocks
		}
		for i := range c {
			c[i][i] += n[i]
		}
		subtract(c, n, total)
	}
	subtract(c, e.straight, e.straightAll)
	if curved {
		subtract(c, e.curved, e.curvedAll)
	}
	return meanVariance(c)
}

// subtract takes v v'/by off a matrix.
func subtract(c [][]float64, v []float64, by float64) {
	if by == 0 {
		return
	}
	for i := range c {
		for j := range c[i] {
			c[i][j] -= float64(v[i] * v[j] / by)
		}
	}
}

// meanVariance is the mean of the variances of all pairwise differences, given
// the information on the shoes, whose rows sum to zero. The last shoe is set to
// zero and the rest inverted.
func meanVariance(c [][]float64) float64 {
	free := len(c) - 1
	g := inverse(c, free)
	if g == nil {
		return math.Inf(1)
	}
	sum, pairs := 0.0, 0.0
	for i := range free {
		sum += g[i][i]
		pairs++
		for j := range i {
			sum += g[i][i] + g[j][j] - float64(2*g[i][j])
			pairs++
		}
	}
	return sum / pairs
}

// inverse inverts the first n rows and columns of a symmetric matrix that has no
// negative direction, by Gauss-Jordan elimination; nil when it is singular.
func inverse(c [][]float64, n int) [][]float64 {
	work := make([][]float64, n)
	for i := range work {
		work[i] = make([]float64, 2*n)
		copy(work[i], c[i][:n])
		work[i][n+i] = 1
	}
	for p := range work {
		pivot := work[p][p]
		if !(pivot > 1e-9) {
			return nil
		}
		for j := range work[p] {
			work[p][j] /= pivot
		}
		for i := range work {
			if factor := work[i][p]; i != p && factor != 0 {
				for j := range work[i] {
					work[i][j] -= float64(factor * work[p][j])
				}
			}
		}
	}
	for i := range work {
		work[i] = work[i][n:]
	}
	return work
}

// Bias returns the difference between shoe 1 and shoe 0 that a drift of place to
// the given power, places from 1, makes by itself: the mean of the powers of the
// places of shoe 1 less that of shoe 0. NaN when one of them is not run.
func Bias(order []int, power int) float64 {
	var sum, count [2]float64
	for i, s := range order {
		if s != 0 && s != 1 {
			continue
		}
		x := 1.0
		for range power {
			x = float64(x * float64(i+1))
		}
		sum[s] += x
		count[s]++
	}
	return sum[1]/count[1] - sum[0]/count[0]
}
