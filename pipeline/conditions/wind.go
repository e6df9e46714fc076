package conditions

import (
	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// What drag on a runner rests on. Drag coefficients of 0.8 to 0.9 and a frontal
// area of 0.266 of the body's surface: Pugh 1970 (J Physiol 207:823) and Davies
// 1980, numbers from memory.
const (
	dragLow, dragHigh = 0.8, 0.9
	frontalShare      = 0.266
)

// costPerWeightPct is the metabolic cost, percent, of a horizontal force of 1 %
// of body weight: 6.13, with a large spread between runners (da Silva, Kram &
// Hoogkamer, J Appl Physiol 2022, read as the preprint of 2021).
const costPerWeightPct = 6.13

// straightShare is the share of a lap that is straight: two straights of 84.39 m
// of a 400 m track.
const straightShare = 2 * 84.39 / 400

// BodySurface returns the surface of a body, m², from height (cm) and mass (kg):
// 0.007184 H^0.725 M^0.425 (Du Bois & Du Bois 1916, Arch Intern Med 17:863, from
// memory).
func BodySurface(heightCm, massKg float64) float64 {
	return float64(0.007184 * stats.Pow(heightCm, 0.725) * stats.Pow(massKg, 0.425))
}

// FrontalArea returns the area, m², that a runner turns to the wind.
func FrontalArea(heightCm, massKg float64) float64 {
	return float64(frontalShare * BodySurface(heightCm, massKg))
}

// Drag returns the force of the air, N, on a runner at a speed (m/s) into a
// headwind (m/s, negative from behind, slower than the runner): rho/2 Cd A
// (v + w)².
func Drag(density, coefficient, area, speed, headwind float64) float64 {
	v := speed + headwind
	return float64(0.5 * density * coefficient * area * v * v)
}

// MetabolicPct returns what a horizontal force costs, percent of the metabolic
// rate.
func MetabolicPct(force, massKg float64) float64 {
	return costPerWeightPct * 100 * force / (massKg * units.Gravity)
}

// LapSquare returns the mean over a lap, at an even speed, of the square of the
// air's speed against the runner, in a steady wind slower than the runner: low
// when the wind blows across the straights, high when along them.
//
// The headwind part of a wind w is w cos(angle). Over the two bends, a full turn,
// (v + w cos)² averages v² + w²/2; over two straights in the wind v² + w², across
// it v². So a share s of straights gives v² + w² (1 ± s)/2: never less than v².
func LapSquare(speed, wind float64) (low, high float64) {
	still, gust := float64(speed*speed), float64(wind*wind)
	return still + float64(gust*(1-straightShare)/2), still + float64(gust*(1+straightShare)/2)
}

// Cost is what the air takes, percent of the metabolic rate: a range over the
// drag coefficients and, in a wind, over its direction.
type Cost struct{ Low, High float64 }

// Runner is what drag needs to know of a runner.
type Runner struct{ HeightCm, MassKg float64 }

// StillAir returns the cost of running in still air.
func StillAir(r Runner, density, speed float64) Cost {
	area := FrontalArea(r.HeightCm, r.MassKg)
	return Cost{MetabolicPct(Drag(density, dragLow, area, speed, 0), r.MassKg),
		MetabolicPct(Drag(density, dragHigh, area, speed, 0), r.MassKg)}
}

// LapWind returns what a steady wind adds to the cost of laps of an oval over
// still air, percent. It is missing when anything is, and when the wind is faster
// than the runner, for which the formula does not hold. The wind is that at the
// runner's height, which is less than what a weather station reports from 10 m.
func LapWind(r Runner, density, speed, wind float64) Cost {
	if !(wind <= speed) {
		return Cost{units.Missing, units.Missing}
	}
	low, high := LapSquare(speed, wind)
	still := StillAir(r, density, speed)
	square := float64(speed * speed)
	return Cost{float64(still.Low * (low/square - 1)), float64(still.High * (high/square - 1))}
}
