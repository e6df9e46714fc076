package recording

import (
	"cmp"
	"slices"
	"strings"

	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// lapMessage is a lap as the file has it; seconds and metres, missing where the
// file says nothing.
type lapMessage struct {
	start    uint32
	length   float64
	distance float64
	trigger  string
}

// The scales of the lap message in the FIT profile.
const (
	lapTimeScale     = 1000
	lapDistanceScale = 100
)

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
	if trigger := get(fieldnum.LapLapTrigger); units.Known(trigger) {
		lap.trigger = triggerName(typedef.LapTrigger(trigger))
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

// lapsOf gives the laps of one part on the recording's clock, by start. A lap
// starts on a whole second but ends on a millisecond, so that its end can
// reach into the next lap by two roundings; it is cut back there. A lap that has
// no sample is damaged, or lies behind the point where the file is cut off.
func (m *messages) lapsOf(p part, imp *Import) []trial.Lap {
	first := p.times()[0]
	length, outside := p.length(), 0
	var laps []trial.Lap
	for _, l := range m.laps {
		if l.start == 0 || !units.Known(l.length) || l.start < p.from || l.start >= p.until {
			continue
		}
		start := float64(int64(l.start) - int64(first))
		if start > length || start+l.length < 0 || start+l.length > length+mostS {
			outside++
			continue
		}
		laps = append(laps, trial.Lap{StartS: start, EndS: start + l.length, DistanceM: l.distance, Trigger: l.trigger})
	}
	if outside > 0 {
		imp.warn("laps outside the samples were left out: %d", outside)
	}
	slices.SortStableFunc(laps, func(a, b trial.Lap) int { return cmp.Compare(a.StartS, b.StartS) })
	for i := range len(laps) - 1 {
		if over := laps[i].EndS - laps[i+1].StartS; over > 0 && over < 2 {
			laps[i].EndS = laps[i+1].StartS
		}
	}
	return laps
}
