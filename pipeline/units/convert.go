package units

// Exact conversion factors.
//
// The avoirdupois ounce and the mile follow the international yard and pound
// agreement of 1959, by which one pound is 0.45359237 kg and one yard 0.9144 m.
const (
	GramsPerOunce = 28.349523125
	MetresPerMile = 1609.344
)

// Gravity is the acceleration used by the spring-mass formulas, m/s².
const Gravity = 9.81

// Ounces converts grams to avoirdupois ounces.
func Ounces(grams float64) float64 { return grams / GramsPerOunce }

// Pace converts a speed in m/s to seconds per kilometre, and back: it is its
// own inverse. A speed of zero has no pace and gives [Missing].
func Pace(metresPerSecond float64) float64 {
	if metresPerSecond <= 0 {
		return Missing
	}
	return 1000 / metresPerSecond
}

// PerMile converts seconds per kilometre to seconds per mile.
func PerMile(secondsPerKm float64) float64 { return secondsPerKm * MetresPerMile / 1000 }

// StepProduct returns the speed, m/s, that a cadence (steps per minute of both
// feet) and a step length (m, one step) imply.
func StepProduct(cadence, stepLength float64) float64 { return float64(cadence / 60 * stepLength) }
