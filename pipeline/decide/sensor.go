package decide

import (
	"math"

	"soletrial/pipeline/trial"
)

// Sensing says how an outcome and the held effort were measured, as far as it bears on the
// error by shoe.
type Sensing struct {
	Held     trial.Effort
	Compared trial.Outcome
	// ByShoe is the standard deviation of the sensor's own error in a shoe where nothing was
	// measured on the ground. A sensor that sits on the shoe moves with it, and no number of
	// sessions averages that out.
	ByShoe float64
	// SpeedOnGround is true where speed does not come from a sensor on the shoe (nor from
	// numbers written by hand without a recording, which count as one).
	SpeedOnGround bool
	// PowerOnShoe is true where the held power comes from a sensor on the shoe, SameDevice
	// where that is the device which gives the speed too.
	PowerOnShoe, SameDevice bool
	// ExponentMean is the prior mean of k.
	ExponentMean float64
	Ground       Ground
}

// Shared says whether a power from the same device is taken to share the error of its speed.
type Shared int

const (
	// SharedUnknown takes the power as it is and counts what sharing would do as an error.
	SharedUnknown Shared = iota
	// SharedWholly corrects the power as the speed.
	SharedWholly
	// SharedNot takes the power as it is.
	SharedNot
)

// SensedBlock is a block and the sensor that gave its speed.
type SensedBlock struct {
	Block
	Sensor string
}

// Correct returns the blocks with the speeds corrected by the ground, each by its own
// sensor and shoe; a shoe without a ground distance gets the mean correction, which is 0. It
// corrects what speed is here: the outcome, or the held pace, and a power that shares the
// error wholly.
func (s Sensing) Correct(blocks []SensedBlock, shared Shared) []Block {
	corrected := make([]Block, len(blocks))
	for i, b := range blocks {
		corrected[i] = b.Block
		c := s.Ground.Correction[SensorShoe{b.Sensor, b.Shoe}]
		if s.Compared == trial.Speed {
			corrected[i].Y += c
		}
		if s.Held == trial.Pace || s.mayShare() && shared == SharedWholly {
			corrected[i].X += c
		}
	}
	return corrected
}

// mayShare reports whether the held power may have the error of the speed.
func (s Sensing) mayShare() bool { return s.Held == trial.Power && s.PowerOnShoe && s.SameDevice }

// MayShare reports whether the answer must be computed with the error shared wholly and not
// at all: power and a speed that the ground corrects come from one device on the shoe.
func (s Sensing) MayShare() bool {
	return s.mayShare() && s.Compared == trial.Speed && len(s.Ground.Correction) > 0
}

// Errors returns the standard deviation of the sensor's error in each shoe, on the scale of
// the outcome, for blocks that [Sensing.Correct] has corrected. blocks says which sensors each
// shoe was run with: where there are several, the least exact counts.
func (s Sensing) Errors(shoes []string, blocks []SensedBlock, shared Shared) Sensor {
	sensor := Sensor{SD: make([]float64, len(shoes))}
	for j, shoe := range shoes {
		speed, correction := s.speedError(shoe, blocks)
		variance := 0.0
		if s.Compared == trial.Speed {
			variance = float64(speed * speed)
		}
		held := 0.0
		switch {
		case s.Held == trial.Pace:
			held = speed
		case s.Held == trial.Power && s.PowerOnShoe:
			held = s.ByShoe
		}
		held = float64(s.ExponentMean * held)
		variance += float64(held * held)
		if s.MayShare() && shared == SharedUnknown {
			r := float64(s.ExponentMean * correction)
			variance += float64(r * r)
		}
		sensor.SD[j] = math.Sqrt(variance)
	}
	return sensor
}

// speedError returns the standard deviation of the logarithm of a shoe's speed after the
// correction, and the correction, the largest of its sensors each.
func (s Sensing) speedError(shoe string, blocks []SensedBlock) (sd, correction float64) {
	if s.SpeedOnGround {
		return 0, 0
	}
	for _, b := range blocks {
		if b.Shoe != shoe {
			continue
		}
		at := SensorShoe{b.Sensor, shoe}
		own, known := s.Ground.SD[at]
		if !known {
			own = s.ByShoe
		}
		sd = math.Max(sd, own)
		if c := s.Ground.Correction[at]; math.Abs(c) > math.Abs(correction) {
			correction = c
		}
	}
	return sd, correction
}

// Tipping returns how large an error of the speed in one shoe alone, as a logarithm, would
// make the whole of a difference.
func (s Sensing) Tipping(d Difference) float64 {
	if s.Compared == trial.Heart && s.ExponentMean > 0 {
		return math.Abs(d.Mean) / s.ExponentMean
	}
	return math.Abs(d.Mean)
}
