package segment

import (
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// What is cut apart. Engineering choices, no source.
const (
	binS      = 5    // seconds that are averaged before the cut
	mostBins  = 2000 // a long recording is averaged over more
	shortestS = 30   // of a stretch
	step      = 0.15 // of the usual effort: a smaller change is wavering
	gapS      = 30   // time without a sample that parts two stretches
	upper     = 0.75 // the quantile that stands for the usual effort
	maxSpanS  = 4 * 86400
)

// Stretch is a time of even effort on the recording's own clock.
type Stretch struct {
	StartS, EndS float64
	Mean         float64 // of the channel, in its unit
}

// efforts lists the channels that tell effort, the quickest to answer first.
var efforts = []trial.Channel{trial.PowerW, trial.SpeedMps, trial.HeartRateBpm}

// Cut cuts a recording by power, or else speed, or else heart rate, into
// stretches of even effort: all of it but gaps, rests included, in time order.
// There is none where no such channel has a value.
//
// The cut is the one with the least sum of squares about the means of the
// stretches plus a penalty for each, found by dynamic programming over all cuts
// (optimal partitioning; Jackson et al. 2005, IEEE Signal Process Lett 12:105).
// The penalty is what a change of step of the usual effort over the shortest
// stretch saves, and twice the noise's variance times the logarithm of the number
// of averages, as in the information criterion of Schwarz (1978, Ann Stat 6:461).
func Cut(s *trial.Samples) (trial.Channel, []Stretch) {
	c, ok := Effort(s)
	if !ok {
		return c, nil
	}
	return c, cutChannel(s, c)
}

// Effort returns the channel that tells the effort of a recording, false when
// none does.
func Effort(s *trial.Samples) (trial.Channel, bool) {
	for _, c := range efforts {
		if s.Has(c) {
			return c, true
		}
	}
	return efforts[0], false
}

func cutChannel(s *trial.Samples, c trial.Channel) []Stretch {
	var all []Stretch
	usual := usualEffort(s.Values[c])
	for _, run := range unbroken(s, c) {
		b := newBins(run)
		all = append(all, run.sharpen(b.merge(b.partition(usual), usual))...)
	}
	return all
}

// usualEffort is the upper quartile of the values above zero, so that rests and
// easy running weigh less than blocks.
func usualEffort(values []float64) float64 {
	var above []float64
	for _, v := range values {
		if v > 0 {
			above = append(above, v)
		}
	}
	if len(above) == 0 {
		return 1
	}
	return stats.Quantile(above, upper)
}

// run is a part of a channel without a long gap.
type run struct{ at, value []float64 }

// unbroken parts the channel where it has no sample for longer than gapS. Samples
// whose clock does not advance are passed over.
func unbroken(s *trial.Samples, c trial.Channel) []run {
	var runs []run
	var now run
	for i, t := range s.Elapsed {
		v := s.Values[c][i]
		n := len(now.at)
		switch {
		case !units.Known(v) || n > 0 && t <= now.at[n-1]:
			continue
		case n > 0 && (t-now.at[n-1] > gapS || t-now.at[0] > maxSpanS):
			runs, now = append(runs, now), run{}
		}
		now.at, now.value = append(now.at, t), append(now.value, v)
	}
	if len(now.at) > 1 {
		runs = append(runs, now)
	}
	return runs
}

// bins are the averages of a run over equal times, as running sums.
type bins struct {
	begin, width float64
	n, sum, sq   []float64 // up to each bin: number, sum and sum of squares
}

func newBins(r run) *bins {
	span := r.at[len(r.at)-1] - r.at[0]
	width := float64(binS * math.Ceil(max(span, 1)/(binS*mostBins)))
	count := int(span/width) + 1
	sums, numbers := make([]float64, count), make([]float64, count)
	for i, t := range r.at {
		k := int((t - r.at[0]) / width)
		sums[k] += r.value[i]
		numbers[k]++
	}
	b := &bins{begin: r.at[0], width: width, n: make([]float64, count+1), sum: make([]float64, count+1), sq: make([]float64, count+1)}
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

// partition returns where the best cut begins its stretches, and the end.
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
