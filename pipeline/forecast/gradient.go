package forecast

import "soletrial/pipeline/units"

// steepest is the gradient up to which [CostOnGradient] was fitted.
const steepest = 0.45

// CostOnGradient returns what running costs on a gradient (rise over distance,
// -0.45 to 0.45), J/kg/m: 155.4 i^5 - 30.4 i^4 - 43.3 i^3 + 46.3 i^2 + 19.5 i + 3.6
// (Minetti et al. 2002, J Appl Physiol 93:1039, doi
// 10.1152/japplphysiol.01177.2001; coefficients as quoted elsewhere). It is missing
// beyond.
func CostOnGradient(i float64) float64 {
	if !(i >= -steepest && i <= steepest) {
		return units.Missing
	}
	cost := 155.4
	for _, k := range []float64{-30.4, -43.3, 46.3, 19.5, 3.6} { // Horner
		cost = float64(cost*i) + k
	}
	return cost
}

// ClimbCostPct returns how much more than level ground a course costs on which so
// many metres are climbed and descended again, half of the distance up and half down
// at one gradient, in percent. What is saved downhill does not make up for the climb.
// It is missing where that is steeper than 45 %.
func ClimbCostPct(climbM, distanceM float64) float64 {
	i := climbM / (distanceM / 2)
	return float64(100 * ((CostOnGradient(i)+CostOnGradient(-i))/2/CostOnGradient(0) - 1))
}
