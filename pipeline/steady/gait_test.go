package steady

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func gaitOf(runner *trial.Runner, speed, cadence, contactMs float64) Summary {
	var s Summary
	for o := range s.Outcomes {
		s.Outcomes[o] = units.Missing
	}
	s.Outcomes[trial.Speed], s.Outcomes[trial.Cadence], s.Outcomes[trial.Contact] = speed, cadence, contactMs
	deriveGait(&s, runner)
	return s
}

// The third worked example of the reference calculation (65 kg, 3.69 m/s, 189
// steps/min, 230 ms, leg 0.9275 m), in the units of the outcomes, with 160 bpm, 9.2 cm
// and 250 W beside it: pace 271.00 s/km, 160 x 1000/(60 x 3.69) beats/km, 9.2 cm over
// 1.1714 m, 250/(65 x 3.69) J/kg/m.
func TestOutcomesThatFollow(t *testing.T) {
	runner := &trial.Runner{MassKg: 65, HeightCm: 175, LegLengthCm: units.Missing}
	s := Summary{}
	for o := range s.Outcomes {
		s.Outcomes[o] = units.Missing
	}
	for o, v := range map[trial.Outcome]float64{
		trial.Speed: 3.69, trial.Cadence: 189, trial.Contact: 230, trial.Heart: 160,
		trial.Oscillation: 9.2, trial.StepLength: 60 * 3.69 / 189, trial.MeanPower: 250,
	} {
		s.Outcomes[o] = v
	}
	deriveGait(&s, runner)
	for o, want := range map[trial.Outcome]float64{
		trial.PacePerKm: 271.0027, trial.BeatsPerKm: 722.6739, trial.PowerPerSpeedMass: 1.042318,
		trial.Flight: 87.4603, trial.DutyFactor: 36.2250,
		trial.RisePerStep: 7.853659, trial.VerticalStiffness: 28.13852, trial.LegStiffness: 9.101385,
	} {
		near(t, o.Info().ID, s.Outcomes[o], want, 1e-4)
	}
}

// A contact that lasts longer than a step (or is in another unit) has no flight,
// and so no duty factor beyond 50 % passes for one of running and no stiffness is
// made of it.
func TestNoFlight(t *testing.T) {
	runner := &trial.Runner{MassKg: 65, HeightCm: 175, LegLengthCm: units.Missing}
	s := gaitOf(runner, 3, 180, 340)
	for _, o := range []trial.Outcome{trial.Flight, trial.VerticalStiffness, trial.LegStiffness} {
		if units.Known(s.Outcomes[o]) {
			t.Errorf("%s is %v without a flight", o.Info().ID, s.Outcomes[o])
		}
	}
	near(t, "duty factor", s.Outcomes[trial.DutyFactor], 51, 1e-12)
	if s := gaitOf(nil, 3, 180, 240); units.Known(s.Outcomes[trial.VerticalStiffness]) ||
		!units.Known(s.Outcomes[trial.Flight]) {
		t.Errorf("without a runner: %+v", s.Outcomes)
	}
	if s := gaitOf(&trial.Runner{MassKg: 65, HeightCm: units.Missing, LegLengthCm: units.Missing}, 3, 180,
		240); units.Known(s.Outcomes[trial.LegStiffness]) || !units.Known(s.Outcomes[trial.VerticalStiffness]) {
		t.Errorf("without a leg length: %+v", s.Outcomes)
	}
}

// The impulse of the sine-shaped force over the contact is that of body weight over
// the step, and the drop is what its double integration gives, step by step.
func TestSpringMassAgainstIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mass := rapid.Float64Range(40, 110).Draw(t, "mass")
		contact := rapid.Float64Range(0.15, 0.33).Draw(t, "contact")
		flight := rapid.Float64Range(0.02, 0.2).Draw(t, "flight")
		s := SpringMass(mass, 3.5, contact, flight, 0.93)
		const steps = 4000
		dt := contact / steps
		impulse, velocity, height, lowest := 0.0, -units.Gravity*flight/2, 0.0, 0.0
		for i := range steps {
			force := s.PeakForce * math.Sin(math.Pi*(float64(i)+0.5)/steps)
			impulse += force * dt
			height += velocity*dt + (force/mass-units.Gravity)*dt*dt/2
			velocity += (force/mass - units.Gravity) * dt
			lowest = math.Min(lowest, height)
		}
		if weight := mass * units.Gravity * (contact + flight); math.Abs(impulse/weight-1) > 1e-4 {
			t.Fatalf("impulse %v, body weight over the step %v", impulse, weight)
		}
		if math.Abs(-lowest-s.Drop) > 1e-4*s.Drop {
			t.Fatalf("drop %v, integrated %v", s.Drop, -lowest)
		}
	})
}
