package fittest

import (
	"math"

	"github.com/muktihari/fit/kit/datetime"
	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
)

// The numbers of the developer fields.
const (
	devPower = iota
	devOscillation
	devTilt
)

// descriptions describes three developer fields as foot pods have them: power
// linked to the native field, oscillation in centimetres although linked to a
// native field in millimetres, and a quantity of its own.
func (s Spec) descriptions() []proto.Message {
	if s.NativePower {
		return nil
	}
	return []proto.Message{
		mesgdef.NewDeveloperDataId(nil).SetDeveloperDataIndex(0).SetApplicationVersion(1).ToMesg(nil),
		Describe(0, devPower, basetype.Uint16, "Power", "Watts", mesgnum.Record, fieldnum.RecordPower),
		Describe(0, devOscillation, basetype.Float32,
			"Vertical Oscillation", "Centimeters", mesgnum.Record, fieldnum.RecordVerticalOscillation),
		Describe(0, devTilt, basetype.Uint16, "Shank Tilt", "deg", mesgnum.Invalid, basetype.Uint8Invalid),
	}
}

// Describe is a field_description message.
func Describe(index, num byte, base basetype.BaseType, name, units string, nativeMessage typedef.MesgNum,
	nativeField byte) proto.Message {
	return mesgdef.NewFieldDescription(nil).SetDeveloperDataIndex(index).SetFieldDefinitionNumber(num).
		SetFitBaseTypeId(base).SetFieldName([]string{name}).SetUnits([]string{units}).
		SetNativeMesgNum(nativeMessage).SetNativeFieldNum(nativeField).ToMesg(nil)
}

func (s Spec) records() []proto.Message {
	truths := s.Truths()
	all := make([]proto.Message, len(truths))
	for i, t := range truths {
		all[i] = s.record(i, t)
	}
	return all
}

func (s Spec) record(i int, t Truth) proto.Message {
	steps := int(t.Cadence) // of both feet; FIT counts one leg and 1/128 of it
	r := mesgdef.NewRecord(nil).SetTimestamp(datetime.ToTime(s.at(i))).SetHeartRate(uint8(t.HeartRate)).
		SetCadence(uint8(steps / 2)).SetFractionalCadence(uint8(steps % 2 * 64)).
		SetEnhancedSpeed(uint32(math.Round(t.Speed * 1000))).SetDistance(uint32(math.Round(t.Distance * 100)))
	if !s.NoDynamics && !t.Resting {
		r.SetStepLength(uint16(math.Round(t.StepLength * 10000))).SetStanceTime(uint16(math.Round(t.Contact * 10)))
	}
	if s.NativePower && !s.NoPower {
		r.SetPower(uint16(t.Power))
	}
	if s.NativePower && !s.NoDynamics {
		r.SetVerticalOscillation(uint16(math.Round(t.Oscillation * 100))) // 0 at rest, as foot pods write it
	}
	if s.Positions {
		from := s.From
		if from == [2]int32{} {
			from = [2]int32{PlantedLatitude, PlantedLongitude}
		}
		r.SetPositionLat(from[0] + int32(i)).SetPositionLong(from[1] + int32(i))
	}
	m := r.ToMesg(nil)
	if !s.NativePower {
		m.DeveloperFields = []proto.DeveloperField{
			{Num: devPower, Value: proto.Uint16(uint16(t.Power))},
			{Num: devOscillation, Value: proto.Float32(float32(t.Oscillation))},
			{Num: devTilt, Value: proto.Uint16(70)},
		}
	}
	return m
}

// The position of the first record when positions are asked for, in semicircles:
// an invented place in the sea.
const (
	PlantedLatitude  = 123456789
	PlantedLongitude = -234567890
)

// summaries are the messages after the records: events, laps, session, activity.
func (s Spec) summaries() []proto.Message {
	truths := s.Truths()
	end := datetime.ToTime(s.at(len(truths)))
	all := []proto.Message{
		mesgdef.NewEvent(nil).SetTimestamp(s.Start).SetEvent(typedef.EventTimer).
			SetEventType(typedef.EventTypeStart).ToMesg(nil),
		mesgdef.NewEvent(nil).SetTimestamp(end).SetEvent(typedef.EventTimer).
			SetEventType(typedef.EventTypeStopAll).ToMesg(nil),
	}
	from := 0
	for i, l := range s.laps() {
		distance := 0.0
		for _, t := range truths[from : from+l.seconds] {
			distance += t.Speed
		}
		message := mesgdef.NewLap(nil)
		if i < len(s.Steps) {
			message.SetWktStepIndex(typedef.MessageIndex(s.Steps[i]))
		}
		all = append(all, message.SetMessageIndex(typedef.MessageIndex(i)).
			SetStartTime(datetime.ToTime(s.at(from))).SetTimestamp(datetime.ToTime(s.at(from+l.seconds))).
			SetTotalElapsedTime(uint32(l.seconds*1000)).SetTotalTimerTime(uint32(l.seconds*1000)).
			SetTotalDistance(uint32(math.Round(distance*100))).SetLapTrigger(typedef.LapTriggerManual).ToMesg(nil))
		from += l.seconds
	}
	return append(all, mesgdef.NewSession(nil).SetTimestamp(end).SetStartTime(s.Start).
		SetSport(s.Sport).SetTotalElapsedTime(uint32(from*1000)).ToMesg(nil),
		mesgdef.NewActivity(nil).SetTimestamp(end).SetNumSessions(1).ToMesg(nil))
}
