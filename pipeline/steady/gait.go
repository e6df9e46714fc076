package steady

import (
	"math"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// deriveGait fills the outcomes that follow from other outcomes of the block.
// What lacks an input, or comes out without physical meaning, stays missing.
func deriveGait(s *Summary, runner *trial.Runner) {
	o := &s.Outcomes
	speed, cadence, contact := o[trial.Speed], o[trial.Cadence], o[trial.Contact]/1000
	o[trial.PacePerKm] = units.Pace(speed)
	o[trial.BeatsPerKm] = positive(o[trial.Heart] * 1000 / (60 * speed))
	flight := FlightTime(cadence, contact)
	o[trial.Flight] = positive(float64(flight * 1000))
	o[trial.DutyFactor] = positive(float64(100 * DutyFactor(contact, flight)))
	o[trial.RisePerStep] = positive(o[trial.Oscillation] / o[trial.StepLength])
	if runner == nil {
		return
	}
	o[trial.PowerPerSpeedMass] = positive(o[trial.MeanPower] / (runner.MassKg * speed))
	if !(flight > 0) {
		return
	}
	spring := SpringMass(runner.MassKg, speed, contact, flight, legLength(runner))
	o[trial.VerticalStiffness] = positive(spring.VerticalStiffness / 1000)
	o[trial.LegStiffness] = positive(spring.LegStiffness / 1000)
}

func positive(x float64) float64 {
	if x > 0 && !math.IsInf(x, 1) {
		return x
	}
	return units.Missing
}

// legLength returns the measured leg length in metres, or 0.53 times the
// stature (Morin et al. 2005, J Appl Biomech 21:167).
func legLength(r *trial.Runner) float64 {
	if units.Known(r.LegLengthCm) {
		return r.LegLengthCm / 100
	}
	return 0.53 * r.HeightCm / 100
}

// FlightTime returns the seconds in the air per step, 60/cadence - contact;
// negative when the contact time is longer than a step lasts.
func FlightTime(cadence, contact float64) float64 { return 60/cadence - contact }

// DutyFactor returns contact/(2(contact+flight)), the share of a stride that one
// foot is on the ground. Times in seconds.
func DutyFactor(contact, flight float64) float64 { return contact / (2 * (contact + flight)) }

// Spring is the spring-mass description of a step, SI units.
type Spring struct {
	PeakForce         float64 // N
	Drop              float64 // of the centre of mass during contact, m
	VerticalStiffness float64 // N/m
	LegCompression    float64 // m
	LegStiffness      float64 // N/m; missing without a leg length
}

// SpringMass applies the sine-wave model of Morin, Dalleau, Kyröläinen, Jeannin
// & Belli 2005 (J Appl Biomech 21:167) to a runner of the given mass (kg) at a
// speed (m/s) with contact and flight times (s) and leg length (m):
//
//	Fmax = m g (pi/2) (flight/contact + 1)
//	drop = Fmax contact²/(m pi²) - g contact²/8
//	compression = L - sqrt(L² - (speed contact/2)²) + drop
//
// The minus sign in the drop is the one that double integration of the force
// gives; with a plus the drop comes out three times too big.
func SpringMass(mass, speed, contact, flight, leg float64) Spring {
	var s Spring
	s.PeakForce = float64(mass * units.Gravity * (math.Pi / 2) * (flight/contact + 1))
	square := float64(contact * contact)
	s.Drop = float64(s.PeakForce*square/(mass*math.Pi*math.Pi)) - float64(units.Gravity*square/8)
	s.VerticalStiffness = s.PeakForce / s.Drop
	half := speed * contact / 2
	s.LegCompression = leg - math.Sqrt(float64(leg*leg)-float64(half*half)) + s.Drop
	s.LegStiffness = s.PeakForce / s.LegCompression
	return s
}
