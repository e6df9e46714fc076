package pool

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Study is one dataset as far as pooling needs it.
type Study struct {
	Name  string // the folder, as it was given
	Facts trial.DatasetFacts
	Shoes []trial.Shoe
	Rows  []Row // of the outcome that is pooled
	// Decided is true where the rows are decisions, else they are comparisons.
	Decided bool
	Digest  string // SHA-256 of its comparisons table, so that none counts twice
}

// Options say what is pooled.
type Options struct {
	Outcome    trial.Outcome
	Effort     trial.Effort // "" is the one that most datasets can be pooled at
	Reference  string       // "" is, in each pair, the one that most datasets have as reference
	Confidence float64
	// WorthwhilePct is the smallest difference that matters, percent.
	WorthwhilePct float64
	// RunnerPct is the scale of the prior on the spread between runners, percent, above 0.
	RunnerPct float64
}

// Entry is one runner's own estimate of a pair. Estimate, Low and High are in the
// unit of report: percent for ratio outcomes.
type Entry struct {
	Study               int // index into the studies
	Effort              trial.Effort
	Target              string // "" where all targets count together
	Sessions, Blocks    int
	Estimate, Low, High float64

	value, se float64 // analysis scale
}

// Pair is one pair of shoes over all runners. Estimate, Low, High and the prediction
// interval, which is for a runner who was not there, are the classical result: missing
// below two runners, and so are the measures of heterogeneity.
type Pair struct {
	Shoe, Reference               string
	Entries                       []Entry // in the order of the studies
	Model                         *Model  // nil for an outcome that is not a ratio
	Estimate, Low, High, P        float64
	PredictionLow, PredictionHigh float64
	Log, LogSE                    float64 // the estimate and its standard error on the analysis scale
	Tau                           float64 // spread between runners on the analysis scale, REML
	TauLow, TauHigh               float64 // its Q-profile interval
	I2, Q, QP                     float64
}

// Model is a pair under a half-normal prior on the spread between runners, which lets even
// one or two runners speak. In the unit of report; chances are of the difference being above
// zero, and above what matters.
type Model struct {
	Estimate, Low, High      float64 // the mean over runners
	Chance                   float64
	NewLow, NewHigh          float64 // of a runner who was not there
	NewChance, NewWorthwhile float64
	Tau                      float64 // posterior mean of the spread between runners, analysis scale
}

// LeftOut is a study, or a study's pair of shoes, that could not be pooled.
type LeftOut struct {
	Study int
	Why   string
}

// Answer is all that pooling has to say.
type Answer struct {
	Options
	Studies []Study
	Pairs   []Pair // by shoe, then reference
	LeftOut []LeftOut

	quantiles map[float64]float64 // of the t distribution by degrees of freedom, which come back often
}

// Run pools the studies: by the model with a prior on the spread between runners, and
// classically beside it, by random effects with the REML variance
// between runners and the interval of Hartung & Knapp (2001) and Sidik & Jonkman
// (2002), no narrower than the usual one; each runner's own standard error is
// taken as known.
func Run(studies []Study, o Options) Answer {
	if o.Effort == "" {
		o.Effort = mostCommonEffort(studies)
	}
	a := Answer{Options: o, Studies: studies, quantiles: map[float64]float64{}}
	pairs := map[[2]string][]Entry{}
	votes := map[[2]string]int{} // of the first shoe for being the reference, less those of the second
	seen := map[string]int{}
	for i := range studies {
		if first, again := seen[studies[i].Digest]; again && studies[i].Digest != "" {
			a.LeftOut = append(a.LeftOut, LeftOut{i, "its table is that of " + studies[first].Name})
			continue
		}
		seen[studies[i].Digest] = i
		a.addStudy(i, pairs, votes)
	}
	for _, key := range sortedKeys(pairs) {
		a.Pairs = append(a.Pairs, a.pair(key, pairs[key], votes[key]))
	}
	stable.Sort(a.Pairs, func(p, q Pair) int {
		return cmp.Or(strings.Compare(p.Shoe, q.Shoe), strings.Compare(p.Reference, q.Reference))
	})
	return a
}

func sortedKeys(pairs map[[2]string][]Entry) [][2]string {
	keys := make([][2]string, 0, len(pairs))
	for key := range pairs { // sorted below
		keys = append(keys, key)
	}
	stable.Sort(keys,
		func(a, b [2]string) int { return cmp.Or(strings.Compare(a[0], b[0]), strings.Compare(a[1], b[1])) })
	return keys
}

// mostCommonEffort returns the effort at which most studies have a row that can be
// pooled; power, pace, heart rate where there are ties.
func mostCommonEffort(studies []Study) trial.Effort {
	best, most := trial.Efforts[0], -1
	for _, effort := range trial.Efforts {
		n := 0
		for i := range studies {
			if slices.ContainsFunc(studies[i].Rows, func(r Row) bool { return r.Effort == effort && r.poolable() }) {
				n++
			}
		}
		if n > most {
			best, most = effort, n
		}
	}
	return best
}

// poolable reports whether a row is one runner's estimate with an interval.
func (r *Row) poolable() bool {
	return r.Runners == 1 && r.SE > 0 && r.DF > 0 && units.Known(r.Estimate)
}

// addStudy brings in a study's rows: of each pair of shoes the level with the most
// blocks, the first of several.
func (a *Answer) addStudy(study int, pairs map[[2]string][]Entry, votes map[[2]string]int) {
	// Of each pair the row with the most blocks.
	best := map[[2]string]*Row{}
	var keys [][2]string
	several, estimateOnly := false, false
	for i := range a.Studies[study].Rows {
		r := &a.Studies[study].Rows[i]
		if r.Effort != a.Effort {
			continue
		}
		if !r.poolable() {
			several, estimateOnly = several || r.Runners > 1, estimateOnly || r.Runners == 1
			continue
		}
		key := [2]string{min(r.Shoe, r.Reference), max(r.Shoe, r.Reference)}
		if old := best[key]; old == nil {
			keys = append(keys, key)
		} else if r.Blocks <= old.Blocks {
			continue
		}
		best[key] = r
	}
	// Into the pairs, with a vote for which shoe is the reference.
	for _, key := range keys {
		r := best[key]
		pairs[key] = append(pairs[key], a.entry(study, r, key))
		if r.Reference == key[0] {
			votes[key]++
		} else {
			votes[key]--
		}
	}
	a.explain(study, len(keys), several, estimateOnly)
}

// explain says why a study gives less than it might.
func (a *Answer) explain(study, taken int, several, estimateOnly bool) {
	why := ""
	switch {
	case several:
		why = "its table has several runners in one estimate; give each runner a dataset"
	case estimateOnly && taken > 0:
		return
	case estimateOnly:
		why = "no estimate has an interval"
	case taken == 0:
		why = "nothing was compared in " + a.Outcome.Info().Label + " at the same " +
			strings.ReplaceAll(string(a.Effort), "_", " ")
	}
	if why != "" {
		a.LeftOut = append(a.LeftOut, LeftOut{study, why})
	}
}

// entry turns a row so that key's first shoe is the reference.
func (a *Answer) entry(study int, r *Row, key [2]string) Entry {
	value := r.Estimate
	if r.Reference != key[0] {
		value = -value
	}
	e := Entry{
		Study: study, Effort: r.Effort, Target: r.Target, Sessions: r.Sessions, Blocks: r.Blocks, value: value,
		se: r.SE,
	}
	t, known := a.quantiles[r.DF]
	if !known {
		t = stats.StudentQuantile((1+a.Confidence)/2, r.DF)
		a.quantiles[r.DF] = t
	}
	half := float64(t * r.SE)
	e.Low, e.High = value-half, value+half
	return e
}

// pair pools one pair of shoes.
func (a *Answer) pair(key [2]string, entries []Entry, votes int) Pair {
	m := units.Missing
	p := Pair{Shoe: key[1], Reference: key[0], Entries: entries, Estimate: m, Low: m, High: m, P: m, PredictionLow: m,
		PredictionHigh: m, Log: m, LogSE: m, Tau: m, TauLow: m, TauHigh: m, I2: m, Q: m, QP: m}
	if turn := a.Reference == key[1] || a.Reference != key[0] && votes < 0; turn {
		p.Shoe, p.Reference = key[0], key[1]
		for i := range entries {
			e := &entries[i]
			e.value, e.Low, e.High = -e.value, -e.High, -e.Low
		}
	}
	y, v := make([]float64, len(entries)), make([]float64, len(entries))
	for i := range entries {
		e := &entries[i]
		y[i], v[i] = e.value, float64(e.se*e.se)
		e.Estimate, e.Low, e.High = a.report(e.value), a.report(e.Low), a.report(e.High)
	}
	if a.Outcome.Info().Ratio {
		p.Model = a.model(y, v)
	}
	if len(entries) > 1 {
		p.summarise(a, y, v)
	}
	return p
}

// model asks the model with a prior; nil for numbers that poolable keeps out.
func (a *Answer) model(y, v []float64) *Model {
	pooled, err := stats.PoolWithPrior(y, v, a.RunnerPct/100)
	if err != nil {
		return nil
	}
	m := &Model{Estimate: a.report(pooled.Mean), Chance: pooled.Above(0), NewChance: pooled.NewAbove(0),
		NewWorthwhile: pooled.NewAbove(stats.Log1p(a.WorthwhilePct / 100)), Tau: pooled.Tau}
	low, high := pooled.Interval(a.Confidence)
	m.Low, m.High = a.report(low), a.report(high)
	low, high = pooled.NewInterval(a.Confidence)
	m.NewLow, m.NewHigh = a.report(low), a.report(high)
	return m
}

func (p *Pair) summarise(a *Answer, y, v []float64) {
	pooled, err := stats.Pool(y, v, stats.PoolREML)
	if err != nil {
		return // only numbers that poolable keeps out
	}
	low, high := pooled.Safe.Interval(a.Confidence)
	p.Log, p.LogSE = pooled.Safe.Value, pooled.Safe.SE
	p.Estimate, p.Low, p.High, p.P = a.report(p.Log), a.report(low), a.report(high), pooled.Safe.P()
	low, high = pooled.Prediction(pooled.Safe, a.Confidence)
	p.PredictionLow, p.PredictionHigh = a.report(low), a.report(high)
	p.Tau, p.I2, p.Q, p.QP = math.Sqrt(pooled.Tau2), pooled.I2, pooled.Q, pooled.QP
	low, high = pooled.Tau2Interval(a.Confidence)
	p.TauLow, p.TauHigh = math.Sqrt(low), math.Sqrt(high)
}

// report turns a difference on the analysis scale into the unit of report.
func (a *Answer) report(x float64) float64 {
	if !a.Outcome.Info().Ratio {
		return x
	}
	return float64(100 * stats.Expm1(x))
}
