package cli

import (
	"bytes"
	"fmt"
	"math"
	"time"

	"github.com/muktihari/fit/encoder"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"

	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/trial"
)

// targetShare is how far from its target a watch lets the effort go before it says so:
// the share from which check warns.
const targetShare = 0.03

// The FIT profile counts watts and beats per minute of a workout from these numbers on,
// since smaller ones are percentages.
const (
	wattsFrom = 1000
	beatsFrom = 100
)

// workout is a planned session as a FIT workout: warm-up, blocks with their target, a
// rest after each that lasts until the lap button is pressed, and a run home without
// end. The bytes depend on the plan alone.
func workout(s *trial.Session, label func(string) string) ([]byte, error) {
	p := s.Plan
	created, err := time.Parse(intake.DateLayout, s.Facts.Date)
	if err != nil {
		return nil, err
	}
	// The steps.
	var steps []*mesgdef.WorkoutStep
	add := func(name string, intensity typedef.Intensity, seconds float64) *mesgdef.WorkoutStep {
		step := mesgdef.NewWorkoutStep(nil).SetMessageIndex(typedef.MessageIndex(len(steps))).
			SetWktStepName(name).SetIntensity(intensity).SetDurationType(typedef.WktStepDurationOpen).
			SetTargetType(typedef.WktStepTargetOpen)
		if seconds > 0 {
			step.SetDurationType(typedef.WktStepDurationTime).SetDurationValue(uint32(math.Round(1000 * seconds)))
		}
		steps = append(steps, step)
		return step
	}
	if p.WarmUpS > 0 {
		add("warm-up", typedef.IntensityWarmup, p.WarmUpS)
	}
	for i, shoe := range p.Order {
		add("put on "+label(shoe), typedef.IntensityRest, 0)
		block := add(fmt.Sprintf("block %d: %s", i+1, label(shoe)), typedef.IntensityActive, p.BlockS)
		if err := setTarget(block, trial.Effort(p.Effort), p.Target); err != nil {
			return nil, err
		}
	}
	add("cool-down", typedef.IntensityCooldown, 0)
	// The file around them.
	messages := []proto.Message{
		mesgdef.NewFileId(nil).SetType(typedef.FileWorkout).SetManufacturer(typedef.ManufacturerDevelopment).
			SetTimeCreated(created).ToMesg(nil),
		mesgdef.NewWorkout(nil).SetSport(typedef.SportRunning).SetNumValidSteps(uint16(len(steps))).
			SetWktName(s.ID).ToMesg(nil),
	}
	for _, step := range steps {
		messages = append(messages, step.ToMesg(nil))
	}
	var out bytes.Buffer
	if err := encoder.New(&out).Encode(&proto.FIT{Messages: messages}); err != nil {
		return nil, voice.Usage("", "cannot write the workout: %v", err)
	}
	return out.Bytes(), nil
}

// setTarget writes the range around a target into a step.
func setTarget(step *mesgdef.WorkoutStep, effort trial.Effort, text string) error {
	target, err := trial.ParseTarget(effort, text)
	if err != nil {
		return voice.Usage("", "cannot write the workout: %v", err)
	}
	low, high, from, kind := target*(1-targetShare), target*(1+targetShare), 0.0, typedef.WktStepTargetPower
	switch effort {
	case trial.Power:
		from = wattsFrom
	case trial.HeartRate:
		from, kind = beatsFrom, typedef.WktStepTargetHeartRate
	default: // pace: the profile wants speed, in mm/s
		speed := 1000 / target
		low, high, kind = 1000*speed*(1-targetShare), 1000*speed*(1+targetShare), typedef.WktStepTargetSpeed
	}
	step.SetTargetType(kind).SetTargetValue(0).SetCustomTargetValueLow(uint32(math.Round(low + from))).
		SetCustomTargetValueHigh(uint32(math.Round(high + from)))
	return nil
}
