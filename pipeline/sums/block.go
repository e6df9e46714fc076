package sums

import (
	"math"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// StepS is the length of a step, s.
const StepS = 5

// The channels of which a block has steps.
const (
	Speed     = iota // m/s
	HeartRate        // bpm
	Power            // W, where power was held
	ChannelCount
)

// Block is one block as published, with its means over steps from its start. Windows holds the
// published means alone.
type Block struct {
	answer.Block
	Included   bool
	Start, End float64                 // session seconds; missing where the block was not timed
	Published  trial.Trim              // the trim of the published means
	Steps      [ChannelCount][]float64 // missing where nothing was recorded; none without a recording
}

// Means returns the means over the steady window of another trim: the published ones, moved by
// what the steps say that the other window changes. A block without steps keeps the published
// means. The result misses what the window has no step of.
func (b *Block) Means(trim trial.Trim) answer.Means {
	m := b.Windows[0]
	m.Speed = b.moved(Speed, m.Speed, trim.HeadS, trim)
	m.HeartRate = b.moved(HeartRate, m.HeartRate, trim.HeartRateHeadS, trim)
	switch b.Effort {
	case trial.Power:
		m.Effort = b.moved(Power, m.Effort, trim.HeadS, trim)
	case trial.HeartRate:
		m.Effort = m.HeartRate
	case trial.Pace:
		if m.Speed > 0 {
			m.Effort = 1000 / m.Speed
		}
	}
	return m
}

// moved is a published mean of a channel under another trim, whose start is head.
func (b *Block) moved(channel int, published, head float64, trim trial.Trim) float64 {
	steps := b.Steps[channel]
	if len(steps) == 0 {
		return published
	}
	was := b.Published.HeadS
	if channel == HeartRate {
		was = b.Published.HeartRateHeadS
	}
	length := b.End - b.Start
	mean := meanOf(steps, head, length-trim.TailS)
	if !units.Known(published) {
		return mean
	}
	return published + (mean - meanOf(steps, was, length-b.Published.TailS))
}

// meanOf is the mean of the steps over a window, seconds from the start of the block, each
// weighted by how much of it is inside; missing where none is.
func meanOf(steps []float64, from, to float64) float64 {
	sum, weight := 0.0, 0.0
	for i, x := range steps {
		start := float64(i * StepS)
		inside := math.Min(to, start+StepS) - math.Max(from, start)
		if inside > 0 && units.Known(x) {
			sum, weight = sum+float64(inside*x), weight+inside
		}
	}
	if weight == 0 {
		return units.Missing
	}
	return sum / weight
}
