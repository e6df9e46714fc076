package answer

import (
	"math"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/units"
)

// PercentDecimals is with how many decimals a difference is written wherever people read
// it; the derived tables have more.
const PercentDecimals = 1

// Percent writes a difference of logarithms in percent, with its sign: "+1.8 %".
func Percent(log float64) string {
	return units.FormatSigned(decide.Percent(log), PercentDecimals) + " %"
}

// Size writes a difference without its sign: "1.8 %".
func Size(log float64) string {
	return units.FormatDecimal(math.Abs(decide.Percent(log)), PercentDecimals) + " %"
}

// visible reports whether a difference is not rounded to nothing where people read it.
func visible(log float64) bool { return Size(log) != Size(0) }

// Interval writes a difference with its 95 % interval: "+1.8 % (+0.9 to +2.7 %)".
func Interval(d decide.Difference) string {
	return Percent(d.Mean) + " (" + units.FormatSigned(decide.Percent(d.Low), PercentDecimals) + " to " +
		units.FormatSigned(decide.Percent(d.High), PercentDecimals) + " %)"
}

// Chance writes a probability in whole percent, never as certain: "93 %".
func Chance(p float64) string {
	switch {
	case !units.Known(p):
		return ""
	case p >= 0.995:
		return "over 99 %"
	case p < 0.005:
		return "under 1 %"
	}
	return units.FormatDecimal(float64(100*p), 0) + " %"
}

// Likelihood is the calibrated word for a probability (Mastrandrea et al. 2010, IPCC
// guidance note on uncertainties).
func Likelihood(p float64) string {
	switch {
	case p >= 0.99:
		return "virtually certain"
	case p >= 0.90:
		return "very likely"
	case p >= 0.66:
		return "likely"
	case p > 0.33:
		return "about as likely as not"
	case p >= 0.10:
		return "unlikely"
	}
	return "very unlikely"
}

// LikelyToBe says how likely something is in a phrase that goes on after "is": "very likely the
// fastest", "virtually certain to be the fastest".
func LikelyToBe(p float64, what string) string {
	if p >= 0.66 && p < 0.99 {
		return Likelihood(p) + " " + what
	}
	return Likelihood(p) + " to be " + what
}

// Seconds writes a span of time without its sign, in the one form that it has everywhere:
// "46 seconds", "2:14 min", "1:02:05 h".
func Seconds(s float64) string {
	s = math.Round(math.Abs(s))
	switch {
	case s < 60:
		return units.Count(int(s), "second")
	case s < 3600:
		return units.FormatClock(s) + " min"
	}
	return units.FormatClock(s) + " h"
}
