package main

import (
	"math"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// outcome is what came of one trial: shares are over its pairs of shoes.
type outcome struct {
	models            map[string]int // pairs by model
	pairs             int            // with an interval
	longRun, onTheDay float64        // share of intervals that hold the truth
	half              float64        // mean half-width on the log scale
	oneSession        bool
	byHolm            bool // any two equal shoes differ by Holm's p
}

// judge compares the shoes of a trial and holds the result against the truth.
func judge(s simulated) outcome {
	result := compare.Analyse(s.dataset, s.observations, nil, 1)
	o := outcome{models: map[string]int{}, oneSession: len(s.dataset.Sessions) == 1}
	for i := range result.Comparisons {
		c := &result.Comparisons[i]
		o.models[model(c)]++
		if !units.Known(c.Low) {
			continue
		}
		o.pairs++
		half := stats.StudentQuantile(0.975, c.DF) * c.LogSE
		o.half += half
		if math.Abs(c.LogEstimate) <= half {
			o.longRun++
		}
		if today := s.onTheDay[c.Shoe] - s.onTheDay[c.Reference]; math.Abs(c.LogEstimate-today) <= half {
			o.onTheDay++
		}
		o.byHolm = o.byHolm || c.PAdjusted <= 0.05
	}
	if n := float64(o.pairs); n > 0 {
		o.longRun, o.onTheDay, o.half = o.longRun/n, o.onTheDay/n, o.half/n
	}
	return o
}

// model names a comparison's model, the mixed one by where it came to rest.
func model(c *compare.Comparison) string {
	if c.Model == compare.Mixed && c.BetweenSD == 0 {
		return "mixed at zero"
	}
	return string(c.Model)
}
