package segment

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// What is a change of effort. Engineering choices, no source.
const (
	binS      = 5    // seconds that are averaged before the division
	maxBins   = 2000 // a long recording is averaged over more
	shortestS = 30   // of a stretch
	step      = 0.15 // of the usual effort: a smaller change is wavering
	upper     = 0.75 // the quantile that stands for the usual effort
)

// stretch is a time of even effort within one section.
type stretch struct {
	section      int
	startS, endS float64
	mean         float64
}

func (s stretch) durationS() float64 { return s.endS - s.startS }

// stretches divides a signal into stretches of even effort: all of it but gaps,
// rests included, in time order.
//
// The division is the one with the least sum of squares about the means of the
// stretches plus a penalty for each, found by dynamic programming over all
// divisions (optimal partitioning; Jackson et al. 2005, IEEE Signal Process Lett
// 12:105). The penalty is what a change of step of the usual effort over the
// shortest stretch saves, and twice the noise's variance times the logarithm of
// the number of averages, as in the information criterion of Schwarz (1978, Ann
// Stat 6:461).
func (s signal) stretches() []stretch {
	usual := 1.0
	if values := s.positive(); len(values) > 0 {
		usual = stats.Quantile(values, upper)
	}
	var all []stretch
	for i, part := range s.sections {
		b := newBins(part)
		pieces := b.merge(b.partition(usual), usual)
		all = append(all, part.sharpen(b, pieces, i)...)
	}
	return all
}

// bins are the averages of a section over equal times, as running sums.
type bins struct {
	begin, width float64
	n, sum, sq   []float64 // up to each bin: number, sum and sum of squares
}

func newBins(s section) *bins {
	span := s.at[len(s.at)-1] - s.at[0]
	width := float64(binS * math.Ceil(max(span, 1)/(binS*maxBins)))
	count := int(span/width) + 1
	sums, numbers := make([]float64, count), make([]float64, count)
	for i, t := range s.at {
		k := int((t - s.at[0]) / width)
		sums[k] += s.value[i]
		numbers[k]++
	}
	b := &bins{begin: s.at[0], width: width,
		n: make([]float64, count+1), sum: make([]float64, count+1), sq: make([]float64, count+1)}
	for k := range sums {
		b.n[k+1], b.sum[k+1], b.sq[k+1] = b.n[k], b.sum[k], b.sq[k]
		if numbers[k] > 0 {
			m := sums[k] / numbers[k]
			b.n[k+1]++
			b.sum[k+1] += m
			b.sq[k+1] += float64(m * m)
		}
	}
	return b
}

func (b *bins) count() int { return len(b.n) - 1 }

// mean of bins i to j-1, NaN where there is none.
func (b *bins) mean(i, j int) float64 { return (b.sum[j] - b.sum[i]) / (b.n[j] - b.n[i]) }

// cost is the sum of squares of bins i to j-1 about their mean.
func (b *bins) cost(i, j int) float64 {
	n, s := b.n[j]-b.n[i], b.sum[j]-b.sum[i]
	if n == 0 {
		return 0
	}
	return max(0, b.sq[j]-b.sq[i]-float64(s*s)/n)
}

// partition returns where the best division begins its stretches, and the end.
func (b *bins) partition(usual float64) []int {
	count := b.count()
	least := min(count, max(1, int(math.Ceil(shortestS/b.width))))
	change := float64(step * usual)
	penalty := float64(float64(least)/2*float64(change*change)) + float64(2*b.noise()*stats.Log(float64(count)))
	best, from := make([]float64, count+1), make([]int, count+1)
	for j := 1; j <= count; j++ {
		best[j] = math.Inf(1)
		for i := 0; i+least <= j; i++ {
			if v := best[i] + b.cost(i, j) + penalty; v < best[j] {
				best[j], from[j] = v, i
			}
		}
	}
	cuts := []int{count}
	for j := count; j > 0; j = from[j] {
		cuts = append([]int{from[j]}, cuts...)
	}
	return cuts
}

// noise is the variance of a single bin, from the median absolute difference of
// neighbours, which changes of effort hardly touch.
func (b *bins) noise() float64 {
	var steps []float64
	for k := 1; k < b.count(); k++ {
		if d := b.mean(k, k+1) - b.mean(k-1, k); units.Known(d) {
			steps = append(steps, math.Abs(d))
		}
	}
	if len(steps) == 0 {
		return 0
	}
	sd := 1.4826 * stats.Median(steps) / math.Sqrt2
	return float64(sd * sd)
}

// piece is a stretch in whole bins.
type piece struct {
	from, to int
	mean     float64
}

// merge joins neighbours that differ by less than a step of the usual effort, the
// most alike first: a long block that tires is still one block.
func (b *bins) merge(cuts []int, usual float64) []piece {
	var pieces []piece
	for i := 1; i < len(cuts); i++ {
		pieces = append(pieces, piece{cuts[i-1], cuts[i], b.mean(cuts[i-1], cuts[i])})
	}
	for {
		closest, at := float64(step*usual), -1
		for i := 1; i < len(pieces); i++ {
			if d := math.Abs(pieces[i].mean - pieces[i-1].mean); d < closest {
				closest, at = d, i
			}
		}
		if at < 0 {
			return pieces
		}
		from, to := pieces[at-1].from, pieces[at].to
		pieces[at-1] = piece{from, to, b.mean(from, to)}
		pieces = append(pieces[:at], pieces[at+1:]...)
	}
}

// sharpen moves every division to the sample within a bin of it that divides the
// two means best, and gives the stretches their seconds.
func (s section) sharpen(b *bins, pieces []piece, number int) []stretch {
	out := make([]stretch, len(pieces))
	for i, p := range pieces {
		out[i] = stretch{section: number, endS: s.at[len(s.at)-1], mean: p.mean}
		if i == 0 {
			out[i].startS = s.at[0]
			continue
		}
		at := s.division(b.begin+float64(float64(p.from)*b.width), b.width, out[i-1].mean, p.mean)
		out[i-1].endS, out[i].startS = at, at
	}
	return out
}

// division is the time of the sample within width of near at which the effort
// passes from the mean before to the mean after, by least squares.
func (s section) division(near, width, before, after float64) float64 {
	best, at, sum := 0.0, near, 0.0
	for i := s.index(near - width); i < len(s.at) && s.at[i] <= near+width; i++ {
		if sum < best || at == near && sum <= best {
			best, at = sum, s.at[i]
		}
		d, e := s.value[i]-before, s.value[i]-after
		sum += float64(d*d) - float64(e*e) // the sample joins the stretch before
	}
	return at
}
