package main

import (
	"math/rand/v2"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The invented runner: what a watt, a speed and a beat come to.
const (
	massKg       = 67.0
	heightCm     = 178.0
	joulePerKgM  = 0.985 // power per speed and mass in the last shoe
	restingBpm   = 52.0
	beatsPerMps  = 24.2 // gain of heart rate, Hunt 2015, doi 10.1186/s12938-015-0112-7
	heartTau     = 57.6 // s, same source
	stepsPerMps  = 5.6  // cadence against speed, Burns 2019, doi 10.1152/japplphysiol.00374.2018
	fatiguePerH  = -0.006
	heartDriftPH = 4.5 // beats per hour of hard running
)

// body is the runner's state from second to second.
type body struct {
	rng       *rand.Rand
	heart     float64
	distance  float64
	effort    float64 // slow wobble of the held effort, relative
	sway      float64 // slow wobble of cadence, steps/min
	hardHours float64
}

func newBody(rng *rand.Rand) *body { return &body{rng: rng, heart: 78} }

// second is what the sensors read in one second.
type second struct {
	power, speed, distance, cadence, step, contact, bounce, heart float64
}

// walk advances by a second of standing about or walking.
func (b *body) walk() second {
	speed := 1.25 + float64(0.12*b.rng.NormFloat64())
	cadence := 104 + float64(2.5*b.rng.NormFloat64())
	b.heart += (98 - b.heart) / 45
	b.distance += speed
	return second{
		power: 62 + float64(6*b.rng.NormFloat64()), speed: speed, distance: b.distance, cadence: cadence,
		step:    speed * 60 / cadence,
		contact: 610 + float64(25*b.rng.NormFloat64()), bounce: 3.6 + float64(0.3*b.rng.NormFloat64()),
		heart: b.heart + float64(0.5*b.rng.NormFloat64()),
	}
}

// stride is what one block asks of the runner.
type stride struct {
	outing      *outing
	shoe        shoe
	blockFactor float64 // factor on speed that block, chance
}

// run advances by one second of a block, t seconds in.
func (b *body) run(s stride, t float64) second {
	b.effort += float64(-0.06*b.effort) + float64(0.0045*b.rng.NormFloat64())
	b.sway += float64(-0.05*b.sway) + float64(0.22*b.rng.NormFloat64())
	b.hardHours += 1.0 / 3600
	wanted := b.wanted(s) * (1 + b.effort)
	if t < 18 { // getting going
		wanted *= 0.55 + float64(0.45*t/18)
	}
	perWatt := s.shoe.speed * s.blockFactor * s.outing.day * (1 + fatiguePerH*b.hardHours) / (joulePerKgM * massKg)
	speed := wanted
	if s.outing.effort == trial.Power {
		speed = wanted * perWatt
	}
	power := speed / perWatt
	cost := speed / (s.shoe.speed * s.blockFactor * s.outing.day)
	steady := restingBpm + float64(beatsPerMps*cost) + float64(heartDriftPH*b.hardHours)
	b.heart += (steady - b.heart) / heartTau
	b.distance += speed
	return b.gait(s, speed, power)
}

// wanted is what the runner aims at: watts in a session by power, else a speed.
func (b *body) wanted(s stride) float64 {
	switch s.outing.effort {
	case trial.Power:
		return s.outing.target
	case trial.Pace:
		return units.Pace(s.outing.target)
	}
	ideal := (s.outing.target - restingBpm - float64(heartDriftPH*b.hardHours)) / beatsPerMps
	return ideal * s.shoe.speed * s.blockFactor * s.outing.day
}

// gait reads the stride off the speed, as the foot sensor sees it.
func (b *body) gait(s stride, speed, power float64) second {
	cadence := 158 + float64(stepsPerMps*speed) + b.sway
	contact := (262 - float64(9.5*speed)) * s.shoe.contact
	bounce := (9.9 - float64(0.42*speed)) * s.shoe.bounce
	return second{
		power: power * (1 + float64(0.018*b.rng.NormFloat64())),
		speed: speed * (1 + float64(0.006*b.rng.NormFloat64())), distance: b.distance,
		cadence: cadence + float64(0.5*b.rng.NormFloat64()),
		step:    speed * 60 / cadence * s.shoe.sensor * (1 + float64(0.007*b.rng.NormFloat64())),
		contact: contact + float64(2.4*b.rng.NormFloat64()), bounce: bounce + float64(0.11*b.rng.NormFloat64()),
		heart: b.heart + float64(0.5*b.rng.NormFloat64()),
	}
}
