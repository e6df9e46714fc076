package recording

import (
	"cmp"
	"strings"

	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// lapMessage is a lap as the file has it; seconds and metres, missing where the
// file says nothing.
type lapMessage struct {
	start    uint32
	stamp    uint32 // when the message was written, 0 where it does not say
	length   float64
	distance float64
	trigger  string
	step     int // of a workout, from 1; 0 for none
}

// The scales of the lap message in the FIT profile.
const (
	lapTimeScale     = 1000
	lapDistanceScale = 100
)

// stepMask takes the number out of a message index, whose upper bits are flags.
const stepMask = 0x0FFF

func newLap(message *proto.Message) lapMessage {
	get := func(num byte) float64 { return fieldNumber(message, num) }
	lap := lapMessage{
		length:   get(fieldnum.LapTotalElapsedTime) / lapTimeScale,
		distance: get(fieldnum.LapTotalDistance) / lapDistanceScale,
	}
	if !units.Known(lap.length) {
		lap.length = get(fieldnum.LapTotalTimerTime) / lapTimeScale
	}
	if start := get(fieldnum.LapStartTime); units.Known(start) {
		lap.start = uint32(start)
	}
	if stamp, ok := timestamp(message); ok {
		lap.stamp = stamp
	}
	if trigger := get(fieldnum.LapLapTrigger); units.Known(trigger) {
		lap.trigger = triggerName(typedef.LapTrigger(trigger))
	}
	if step := get(fieldnum.LapWktStepIndex); units.Known(step) {
		lap.step = int(step)&stepMask + 1
	}
	return lap
}

// triggerName gives the profile's word for what ended a lap; the four kinds of
// position are one.
func triggerName(t typedef.LapTrigger) string {
	switch name := t.String(); {
	case strings.HasPrefix(name, "position"):
		return "position"
	case strings.ContainsAny(name, "()"):
		return ""
	default:
		return name
	}
}

func fieldNumber(message *proto.Message, num byte) float64 {
	f := message.FieldByNum(num)
	if f == nil {
		return units.Missing
	}
	return number(f.Value, f.BaseType)
}

// lapsOf gives the laps of one part on the recording's clock, by start. A lap that
// has no sample is damaged, or lies behind the point where the file is cut off.
func (m *messages) lapsOf(p part, imp *Import) []trial.Lap {
	first, length := p.times()[0], p.length()
	within := func(t float64) bool { return t >= -slackS && t <= length+slackS }
	outside := 0
	var laps []trial.Lap
	for _, l := range m.laps {
		if l.start == 0 || l.start < p.from || l.start >= p.until {
			continue
		}
		start := float64(int64(l.start) - int64(first))
		lap := trial.Lap{StartS: max(start, 0), EndS: l.end(first), DistanceM: l.distance, Trigger: l.trigger,
			Step: l.step}
		if !within(start) || units.Known(lap.EndS) && lap.EndS < 0 {
			outside++
			continue
		}
		laps = append(laps, lap)
	}
	stable.Sort(laps, func(a, b trial.Lap) int { return cmp.Compare(a.StartS, b.StartS) })
	laps, lost := boundLaps(laps, length)
	if outside += lost; outside > 0 {
		imp.warn("laps outside the samples were ignored: %d", outside)
	}
	return laps
}

// end is when a lap ended: when its message was written, since start and elapsed
// time reach into the rest where the device was paused. A message that was written
// no later than the lap started, with the others at the end of the file or never
// timed, leaves the elapsed time.
func (l lapMessage) end(first uint32) float64 {
	if l.stamp > l.start {
		return float64(int64(l.stamp) - int64(first))
	}
	return float64(int64(l.start)-int64(first)) + l.length
}

// boundLaps ends every lap where the next one starts, at the latest, and the last
// one with the samples; laps without any length are dropped and counted.
func boundLaps(laps []trial.Lap, length float64) (bounded []trial.Lap, lost int) {
	for i, lap := range laps {
		latest := length + slackS
		if i+1 < len(laps) {
			latest = laps[i+1].StartS
		}
		if !(lap.EndS <= latest) {
			lap.EndS = latest
		}
		if lap.EndS > lap.StartS {
			bounded = append(bounded, lap)
		} else {
			lost++
		}
	}
	return bounded, lost
}
