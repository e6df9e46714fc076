package decide

import "soletrial/pipeline/trial"

// HeartCheck is what heart rate at the same power says of a result in speed. Power from a sensor
// on the shoe can be wrong by shoe; the heart that does the work is not.
type HeartCheck struct {
	// Passed is true where the difference in heart rate, carried to speed, is less than half the
	// result with a chance of 90 %: heart rate does not explain it.
	Passed bool
	// Chance is that chance, NaN where there is no heart rate of both shoes.
	Chance float64
	// Higher is true where heart rate was higher in the faster shoe with a chance of 97.5 %
	// (the rule heart-by-shoe): it worked harder. Lower is the opposite, which supports.
	Higher, Lower bool
}

// heartSpeed carries a difference in the logarithm of heart rate to that of speed: the
// exponent of speed over heart rate.
var heartSpeed = func() float64 {
	e, _ := trial.DefaultMethod().EqualEffort(trial.HeartRate, trial.Speed)
	return e.Mean
}()

// CheckHeart judges a result in speed at the same power, the faster shoe over the other as a
// logarithm, by the heart rate at the same power of the same two shoes, named by their labels.
func CheckHeart(heart *Posterior, faster, other string, result float64) HeartCheck {
	check := HeartCheck{Chance: missing}
	if heart == nil {
		return check
	}
	a, b, ok := heart.pairNamed(faster, other)
	if !ok {
		return check
	}
	// Lower is better for heart rate: minus the advantage is how much higher it was.
	advantage, table := heart.mixture(a, b, Sensor{}), normalTable()
	check.Chance = 1 - advantage.below(table, -result/(2*heartSpeed))
	lower := 1 - advantage.below(table, 0)
	check.Passed = check.Chance >= apartChance
	check.Lower, check.Higher = lower >= sure, 1-lower >= sure
	return check
}

// pairNamed returns the indices of two shoes of one group.
func (p *Posterior) pairNamed(shoe, other string) (a, b int, ok bool) {
	a, b = p.Shoe(shoe), p.Shoe(other)
	return a, b, a >= 0 && b >= 0 && a != b && p.group[a] == p.group[b]
}

// Shoe returns the index of a shoe, -1 where it is not in the data.
func (p *Posterior) Shoe(label string) int {
	for j, shoe := range p.Shoes {
		if shoe == label {
			return j
		}
	}
	return -1
}

// Chance returns the probability that shoe a is better than shoe b by more than the given
// difference of logarithms. The shoes are of one group.
func (p *Posterior) Chance(a, b int, sensor Sensor, above float64) float64 {
	return 1 - p.mixture(a, b, sensor).below(normalTable(), above)
}
