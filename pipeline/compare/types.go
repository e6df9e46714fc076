package compare

import "soletrial/pipeline/trial"

// Observation is one included block as the comparison sees it.
type Observation struct {
	Session, Date, Runner string
	Block, Shoe           string
	Effort                trial.Effort
	Target, MeanEffort    float64 // in the unit of the effort (s/km for pace)
	Midpoint              float64 // session seconds; missing when the block has no times
	Order                 int     // place in the session, 1 first
	Outcomes              [trial.OutcomeCount]float64
}

// Level returns the effort and target that the block was run at.
func (o *Observation) Level() string { return trial.Level(o.Effort, o.Target) }

// Model says what an estimate rests on.
type Model string

// The models, from the most to the least that the data can carry.
const (
	PooledRunners  Model = "runners"         // each runner's own estimate, pooled by random effects
	Mixed          Model = "mixed"           // random shoe-by-session effects, REML
	LeastSquares   Model = "least_squares"   // session terms only; the notes say what the residual holds
	OneSession     Model = "one_session"     // a single session: day-to-day variation is not in the interval
	DifferenceOnly Model = "difference_only" // no residual degrees of freedom: no interval
	NotComparable  Model = "not_comparable"  // never linked through a common session
)

// Grade is a word for the evidence behind an estimate. It is earned by design
// and data, never by the size of the effect.
type Grade string

// The grades, from none to solid.
const (
	NoEvidence Grade = "none"  // no interval can be given
	Thin       Grade = "thin"  // one session, or an interval too wide to decide anything
	Fair       Grade = "fair"  // several sessions with intervals, some safeguard missing
	Solid      Grade = "solid" // repeated, balanced, checked, and precise enough to decide
)

// Comparison is the difference between two shoes in one outcome at one level.
// For ratio outcomes LogEstimate, LogSE and the SDs are natural logarithms and
// Estimate, Low, High, the drifts and the adjustment are percent; for the others
// all are in the outcome's unit. A missing number was not estimable.
type Comparison struct {
	Outcome         trial.Outcome
	Effort          trial.Effort
	Level           string
	Model           Model
	Shoe, Reference string // Estimate is Shoe against Reference

	Runners, Sessions, Blocks int // that hold either of the two shoes

	LogEstimate, LogSE, DF float64
	Estimate, Low, High    float64
	P, PAdjusted           float64

	BetweenSD, ResidualSD float64
	DriftPerHour, DriftSE float64
	TippingDrift          float64 // drift per block that alone would make the estimate
	Adjustment            float64 // Estimate minus what it would be without the equal-effort adjustment
	SensorErrorPct        float64 // how much could be the sensor, percent: see [Result.AddSensorErrors]

	WithoutLow, WithoutHigh float64  // range of the estimate with each block left out in turn (primary outcome)
	Outlying                Outlying // the block that moves the estimate most

	Randomisation Randomisation // the randomisation test over the planned orders (primary outcome)

	PerRunner                     []RunnerEstimate // behind a pooled estimate
	PredictionLow, PredictionHigh float64          // for a runner who was not there

	Evidence Grade
	Notes    []string // how the model was chosen and what was left out

	acrossSessions bool    // the interval holds how the difference varies from day to day
	halfWidth      float64 // half the interval's width on the analysis scale
	basis          basis
}

// Unit returns the unit of Estimate, Low and High.
func (c *Comparison) Unit() string {
	if info := c.Outcome.Info(); !info.Ratio {
		return info.Unit
	}
	return "percent"
}

// SessionComparison is a comparison within one session, with the estimate of
// the full model over all sessions up to and including this one.
type SessionComparison struct {
	Session, Date string
	Comparison
	ToDate, ToDateLow, ToDateHigh float64
}

// Ranking orders the shoes of one level by the primary outcome.
type Ranking struct {
	Outcome trial.Outcome
	Effort  trial.Effort
	Level   string
	Places  []Place // best first
}

// Place is one shoe in a ranking. Estimate, Low and High are against the
// ranking's reference shoe, whose own are 0.
type Place struct {
	Shoe                string
	Reference           bool
	Estimate, Low, High float64
}

// Result is all that compare has to say about a dataset.
type Result struct {
	Comparisons []Comparison        // sorted by outcome, level, shoe, reference
	Sessions    []SessionComparison // in the outcomes that decide, sorted by date, session, level, shoe, reference
	Rankings    []Ranking           // most blocks first
}
