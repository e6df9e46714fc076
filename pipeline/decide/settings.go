package decide

import (
	"fmt"
	"math"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
)

// Drift says how an outcome may change over a session apart from the shoe.
type Drift int

const (
	// StraightDrift is a straight line over time, γ t.
	StraightDrift Drift = iota
	// NoDrift leaves the time of a block out.
	NoDrift
	// CurvedDrift adds κ t² with t centred in its session. κ has the prior SD of γ, per
	// hour squared: over a session of an hour the bend then moves the ends against the
	// middle by half as much as the straight drift does, which is an engineering choice.
	CurvedDrift
)

// Exponent is the prior of k in k ln(held/target): normal, or fixed where SD is 0.
type Exponent struct{ Mean, SD float64 }

// Prior holds what is assumed of such trials in general. All are engineering choices on
// the logarithmic scale (0.01 is about 1 %).
type Prior struct {
	// BlockSD and BlockDF: σ² is scaled inverse chi-squared with BlockDF degrees of freedom
	// and scale BlockSD². Steady blocks of one shoe on one day differ by 0.5 to 1.5 %, and 3
	// degrees of freedom let a handful of blocks overrule it.
	BlockSD, BlockDF float64
	// DaySD is the scale of the half-normal prior of τ: how much a shoe's effect varies
	// from day to day.
	DaySD float64
	// RunnerSD is the scale of the half-normal prior of ω: how much it varies between
	// runners.
	RunnerSD float64
	// DriftSD is the prior SD of γ per hour, about 0.
	DriftSD float64
	// Exponent is the prior of k.
	Exponent Exponent
}

// Settings is how one outcome at one effort is decided.
type Settings struct {
	Prior Prior
	Drift Drift
	// Worthwhile is the smallest difference that matters, as a ratio less one: 0.0075.
	Worthwhile float64
	// SmallerIsBetter is true for heart rate at the same pace.
	SmallerIsBetter bool
}

// Accuracy chooses how finely the spreads are integrated.
type Accuracy int

const (
	// Exact is good to 1e-5 in probabilities, and to 1e-3 in the chance of being the best of
	// three or more.
	Exact Accuracy = iota
	// Coarse is for many analyses side by side: good to about 2e-3, at a quarter of the time.
	Coarse
	// Moving is for a control that is being dragged: good to about 2e-3 too, at a tenth of the time of
	// Coarse where there are few blocks. It is never published.
	Moving
)

// SettingsOf returns the settings of a dataset's method for what was held and what is
// compared: speed, or heart rate at the same pace or power. The error names a pair that the
// model is not made for.
func SettingsOf(method trial.Method, held trial.Effort, compared trial.Outcome) (Settings, error) {
	exponent, ok := method.EqualEffort(held, compared)
	if !ok {
		return Settings{}, fmt.Errorf(
			"no decision for %s at the same %s: compare speed, or heart rate at the same pace or power",
			compared.Info().ID, held)
	}
	of := func(p trial.PriorByOutcome, heart bool) float64 {
		if heart {
			return p.HeartRate / 100
		}
		return p.Speed / 100
	}
	p, heart := method.Prior, compared == trial.Heart
	return Settings{
		Prior: Prior{
			BlockSD: of(p.BlockPct, heart), BlockDF: p.BlockDF, DaySD: of(p.DayPct, heart), RunnerSD: p.RunnerPct / 100,
			DriftSD: of(p.DriftPctPerH, heart || held == trial.HeartRate), Exponent: Exponent(exponent),
		},
		Drift: DriftOf(method), Worthwhile: method.WorthwhilePct / 100, SmallerIsBetter: heart,
	}, nil
}

// DefaultSettings returns the settings of a dataset that states no method of its own.
func DefaultSettings(held trial.Effort, compared trial.Outcome) (Settings, error) {
	return SettingsOf(trial.DefaultMethod(), held, compared)
}

// DriftOf is the drift that a dataset's method asks for.
func DriftOf(method trial.Method) Drift {
	if method.Drift == trial.DriftNone {
		return NoDrift
	}
	return StraightDrift
}

// LogWorthwhile is the smallest difference that matters on the logarithmic scale.
func (s Settings) LogWorthwhile() float64 { return stats.Log1p(s.Worthwhile) }

// check names the first setting that the model cannot work with.
func (s Settings) check() error {
	p := s.Prior
	for _, f := range []struct {
		name  string
		value float64
	}{{"block SD", p.BlockSD}, {"block degrees of freedom", p.BlockDF}, {"day SD", p.DaySD},
		{"runner SD", p.RunnerSD}, {"drift SD", p.DriftSD}, {"worthwhile difference", s.Worthwhile}} {
		if !(f.value > 0) || math.IsInf(f.value, 0) {
			return fmt.Errorf("the prior's %s must be above 0, not %v", f.name, f.value)
		}
	}
	e := p.Exponent
	if !(e.SD >= 0) || math.IsInf(e.SD, 0) || math.IsNaN(e.Mean) || math.IsInf(e.Mean, 0) {
		return fmt.Errorf("the exponent needs a number and an SD of 0 or more, not %v and %v", e.Mean, e.SD)
	}
	return nil
}
