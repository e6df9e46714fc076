package forecast

import "soletrial/pipeline/stats"

// RiegelExponent is the exponent of [Riegel]: 1.06, first proposed in 1977
// (Riegel 1981, American Scientist 69:285, as quoted in encyclopaedias).
const RiegelExponent = 1.06

// Riegel scales a race time, in any unit, from one distance to another:
// T2 = T1 (D2/D1)^1.06. It is said to hold from about 3.5 to 230 minutes, see
// [RiegelHolds]; runners of little training are slower over a marathon than it
// says (widely reported).
func Riegel(time, fromM, toM float64) float64 { return ScaleTime(time, fromM, toM, RiegelExponent) }

// ScaleTime is [Riegel] with another exponent.
func ScaleTime(time, fromM, toM, exponent float64) float64 {
	return float64(time * stats.Pow(toM/fromM, exponent))
}

// RiegelHolds reports whether a time in seconds lies where Riegel's scaling is
// said to hold.
func RiegelHolds(seconds float64) bool {
	return seconds >= shortestMin*60 && seconds <= longestMin*60
}
