package recording

import (
	"cmp"
	"slices"
	"time"

	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// timerEvent is a press of start or stop, or the device doing so by itself.
type timerEvent struct {
	at   uint32
	stop bool
}

// addEvent keeps the starts and stops of the timer and reports whether the
// message was one.
func (m *messages) addEvent(message *proto.Message) bool {
	at, timed := timestamp(message)
	kind := fieldNumber(message, fieldnum.EventEventType)
	if !timed || fieldNumber(message, fieldnum.EventEvent) != float64(typedef.EventTimer) || !units.Known(kind) {
		return false
	}
	switch typedef.EventType(kind) {
	case typedef.EventTypeStart:
		m.timer = append(m.timer, timerEvent{at, false})
	case typedef.EventTypeStop, typedef.EventTypeStopAll, typedef.EventTypeStopDisable, typedef.EventTypeStopDisableAll:
		m.timer = append(m.timer, timerEvent{at, true})
	default:
		return false
	}
	return true
}

// pausesOf gives the times from a stop of the timer to the next start, within
// the samples of a part. The last stop has no start after it and is no pause.
func (m *messages) pausesOf(p part) []trial.Pause {
	events := slices.Clone(m.timer)
	stable.Sort(events, func(a, b timerEvent) int { return cmp.Compare(a.at, b.at) })
	times := p.times()
	first, last := times[0], times[len(times)-1]
	var pauses []trial.Pause
	stopped, since := false, uint32(0)
	for _, e := range events {
		switch {
		case e.stop && !stopped:
			stopped, since = true, e.at
		case !e.stop && stopped:
			stopped = false
			if since >= first && e.at <= last && e.at > since {
				pauses = append(pauses, trial.Pause{StartS: float64(since - first), EndS: float64(e.at - first)})
			}
		}
	}
	return pauses
}

// maxStepS is the longest step between two samples that devices take to save
// space when little changes; 8 s have been seen.
const maxStepS = 10

// warnOfGaps names the times without a sample although the timer ran.
func (imp *Import) warnOfGaps() {
	elapsed := imp.Samples.Elapsed
	n, total, longest, at := 0, 0.0, 0.0, 0.0
	for i := 1; i < len(elapsed); i++ {
		step := elapsed[i] - elapsed[i-1] - imp.pausedBetween(elapsed[i-1], elapsed[i])
		if step <= maxStepS {
			continue
		}
		n++
		total += step
		if step > longest {
			longest, at = step, elapsed[i-1]
		}
	}
	if n > 0 {
		imp.warn("no sample was written for %.0f s although the timer ran; gaps: %d, the longest of %.0f s at %.0f s",
			total, n, longest, at)
	}
}

// pausedBetween is how much of the time from..to the timer stood still.
func (imp *Import) pausedBetween(from, to float64) float64 {
	paused := 0.0
	for _, p := range imp.Pauses {
		paused += max(0, min(to, p.EndS)-max(from, p.StartS))
	}
	return paused
}

// The zones of the world lie from 12 hours behind UTC to 14 before it, by whole
// quarters of an hour.
const (
	quarterS    = 900
	westernmost = -12 * 3600
	easternmost = 14 * 3600
	slackS      = 60 // a device may write the two times one after the other
)

// addActivity takes the local time that the device had when the file was closed.
// A device that does not know its zone writes the same time twice.
func (m *messages) addActivity(message *proto.Message) {
	at, timed := timestamp(message)
	local := message.FieldValueByNum(fieldnum.ActivityLocalTimestamp)
	if !timed || local.Type() != proto.TypeUint32 || local.Uint32() == basetype.Uint32Invalid {
		return
	}
	ahead := int(local.Uint32()) - int(at)
	whole := (ahead+20*86400+quarterS/2)/quarterS*quarterS - 20*86400 // rounded; the days keep it positive
	if whole == 0 || whole < westernmost || whole > easternmost || ahead-whole > slackS || whole-ahead > slackS {
		return
	}
	m.zone = time.FixedZone("", whole)
}
