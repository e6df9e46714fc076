package answer

import (
	"fmt"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/trial"
)

// near is the effort of the answers that are nearly these, in the same outcome; else an empty one.
func (in *Inputs) near(effort trial.Effort) Effort {
	if in.Near != nil {
		if e := in.Near.Find(effort); e != nil && e.Outcome == in.Dataset.Facts.Method.OutcomeAt(effort) {
			return *e
		}
	}
	return Effort{}
}

// fitNear is [decide.FitNear] near one posterior, or near none.
func fitNear(near *decide.Posterior) func([]decide.Block, decide.Settings, decide.Accuracy) (*decide.Posterior, error) {
	return func(blocks []decide.Block, settings decide.Settings, accuracy decide.Accuracy) (*decide.Posterior, error) {
		return decide.FitNear(blocks, settings, accuracy, near)
	}
}

// fitEffort finds what the blocks of an effort say of its shoes, by [decide.FitNear] or
// [decide.FitShoes], without asking anything of it yet. It returns the blocks of the model, too.
func fitEffort(
	in Inputs, effort trial.Effort, blocks []Block,
	fit func([]decide.Block, decide.Settings, decide.Accuracy) (*decide.Posterior, error),
) (Effort, []decide.SensedBlock) {
	method := in.Dataset.Facts.Method
	e := Effort{Effort: effort, Outcome: method.OutcomeAt(effort), blocks: blocks,
		StepsComputed: in.Checks.StepsComputed}
	var err error
	if e.Settings, err = decide.SettingsOf(method, effort, e.Outcome); err != nil {
		e.Problem = err.Error()
		return e, nil
	}
	e.count()
	// What is known of the sensors.
	ground, err := decide.FitGround(groundBlocks(blocks), method.SensorByShoePct/100)
	if err != nil {
		e.Problem = err.Error()
		return e, nil
	}
	e.Sensing = sensing(e, method, ground)
	// The posterior.
	sensed, _ := modelBlocks(blocks, 0, e.Outcome)
	if len(sensed) == 0 {
		e.Problem = fmt.Sprintf("no block has a %s", e.Outcome.Info().Label)
		return e, nil
	}
	e.Posterior, err = fit(e.Sensing.Correct(sensed, decide.SharedUnknown), e.Settings, in.Accuracy)
	if err != nil {
		e.Problem = err.Error()
		return e, nil
	}
	e.Sensor = e.Sensing.Errors(e.Posterior.Shoes, sensed, decide.SharedUnknown)
	return e, sensed
}

// sensing says how the blocks of an effort were measured. What holds of one block holds of
// all: a single block by a sensor on the shoe is enough to doubt it.
func sensing(e Effort, method trial.Method, ground decide.Ground) decide.Sensing {
	s := decide.Sensing{Held: e.Effort, Compared: e.Outcome, ByShoe: method.SensorByShoePct / 100,
		SpeedOnGround: true, ExponentMean: e.Settings.Prior.Exponent.Mean, Ground: ground}
	for i := range e.blocks {
		b := &e.blocks[i]
		s.SpeedOnGround = s.SpeedOnGround && !b.Speed.OnShoe
		s.PowerOnShoe = s.PowerOnShoe || b.Power.OnShoe
		s.SameDevice = s.SameDevice || b.Power.OnShoe && b.Power.Device != "" && b.Power.Device == b.Speed.Device
	}
	return s
}

// heartPosterior is that of heart rate at the same power; nil where there is too little.
func heartPosterior(in Inputs, blocks []Block, near *decide.Posterior) *decide.Posterior {
	settings, err := decide.SettingsOf(in.Dataset.Facts.Method, trial.Power, trial.Heart)
	if err != nil {
		return nil
	}
	sensed, _ := modelBlocks(blocks, 0, trial.Heart)
	plain := make([]decide.Block, len(sensed))
	for i := range sensed {
		plain[i] = sensed[i].Block
	}
	if len(plain) == 0 {
		return nil
	}
	p, err := decide.FitShoes(plain, settings, in.Accuracy, near)
	if err != nil {
		return nil
	}
	return p
}
