package session

import (
	"math"
	"time"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Jump is by how many seconds the clock on the wall and the clock of the page may
// part before it is said: phones set their clock by fractions of a second often.
const Jump = 2

// watch is a stopwatch over the two clocks of the events. It runs by the page's own
// clock. That one starts anew whenever the page is opened, and stands still while
// some phones sleep; there the clock on the wall bridges the gap.
type watch struct {
	going  bool
	run    int
	s      float64 // the reading at the last event
	monoMs int64   // the clocks at the last event
	wallMs int64
	ahead  int64 // wall minus mono as it was counted last, ms
}

// follow moves the watch to an event and says whether the clocks parted there. A
// page that was out of sight while its clock fell behind is taken to have slept.
func (w *watch) follow(e Event) (now Moment, change *trial.ClockChange) {
	// How far the two clocks have parted since they were last set against each other.
	moment := func() Moment { return Moment{w.s, e.WallMs, e.ZoneMin} }
	ahead := e.WallMs - e.MonoMs
	parted := seconds(ahead - w.ahead)
	before := *w
	w.run, w.monoMs, w.wallMs = e.Run, e.MonoMs, e.WallMs
	switch {
	// The first event sets the clocks.
	case !before.going:
		w.going, w.ahead = true, ahead
		return moment(), nil
	// After a reload only the wall clock tells how long it took.
	case e.Run != before.run:
		by := math.Max(seconds(e.WallMs-before.wallMs), 0)
		w.s, w.ahead = before.s+by, ahead
		now = moment()
		return now, changed(trial.ClockRestart, now, by)
	}
	// The monotonic clock counts, unless the wall clock ran ahead while the page was hidden.
	w.s = before.s + math.Max(seconds(e.MonoMs-before.monoMs), 0)
	if math.Abs(parted) <= Jump {
		return moment(), nil
	}
	w.ahead = ahead
	kind := trial.ClockSet
	if e.Hidden && parted > 0 {
		kind = trial.ClockAsleep
		w.s += parted
	}
	now = moment()
	return now, changed(kind, now, parted)
}

// at returns the reading at a later time of the page's clock.
func (w *watch) at(monoMs int64) float64 { return w.s + math.Max(seconds(monoMs-w.monoMs), 0) }

func seconds(ms int64) float64 { return float64(ms) / 1000 }

func changed(kind string, at Moment, by float64) *trial.ClockChange {
	return &trial.ClockChange{Kind: kind, At: at.Clock(), AtS: tenths(at.S), ByS: tenths(by)}
}

// Clock returns the moment by the clock on the wall, as RFC 3339 writes it, to a
// tenth of a second.
func (m Moment) Clock() string {
	zone := time.FixedZone("", m.ZoneMin*60)
	return time.UnixMilli((m.WallMs + 50) / 100 * 100).In(zone).Format("2006-01-02T15:04:05.9Z07:00")
}

// tenths rounds seconds as they are written.
func tenths(s float64) float64 { return units.Round(s, 1) }
