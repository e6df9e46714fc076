package session

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"soletrial/pipeline/trial"
)

func TestClockPutForward(t *testing.T) {
	d := ready(t)
	d.tap(Start)
	d.wait(100)
	d.wall += 3600_000
	d.event(Event{Kind: Clock})
	d.wait(259)
	d.tap(End)
	log := d.log()
	if b := log.Blocks[0]; b.EndS-b.StartS != 360 || b.End != "2026-05-02T10:06:07+02:00" {
		t.Errorf("the block is %+v", b)
	}
	want := []trial.ClockChange{{Kind: trial.ClockSet, At: "2026-05-02T10:01:47+02:00", AtS: 106, ByS: 3600}}
	if diff := cmp.Diff(want, log.Clock); diff != "" {
		t.Errorf("clock (-want +got):\n%s", diff)
	}
}

// A jump that nobody noticed before the next tap is told from that tap.
func TestClockPutBackBetweenTaps(t *testing.T) {
	d := ready(t)
	d.tap(Start)
	d.wall -= 120_000
	d.wait(359)
	s := d.tap(End)
	if got := s.Last().End.S - s.Last().Start.S; got != 360 {
		t.Errorf("the block has %v s", got)
	}
	if len(s.Changes) != 1 || s.Changes[0].Kind != trial.ClockSet || s.Changes[0].ByS != -120 {
		t.Errorf("the changes are %+v", s.Changes)
	}
}

// Some phones stop the page's clock while they sleep; the clock on the wall then says
// how long.
func TestPhoneAsleep(t *testing.T) {
	d := ready(t)
	d.tap(Start)
	d.wall += 300_000
	d.event(Event{Kind: Clock, Hidden: true})
	d.wait(59)
	s := d.tap(End)
	if got := s.Last().End.S - s.Last().Start.S; got != 360 {
		t.Errorf("the block has %v s", got)
	}
	if len(s.Changes) != 1 || s.Changes[0].Kind != trial.ClockAsleep || s.Changes[0].ByS != 300 {
		t.Errorf("the changes are %+v", s.Changes)
	}
}

// After a crash the page's clock starts anew, and the block goes on.
func TestOpenedAgain(t *testing.T) {
	d := ready(t)
	d.tap(Start)
	d.wait(100)
	d.tap(Lap)
	d.run, d.mono, d.wall = 1, 0, d.wall+20_000
	d.event(Event{Kind: Open, Args: []string{"soletrial test"}})
	d.wait(238)
	s := d.tap(End)
	if got := s.Last().End.S - s.Last().Start.S; got != 360 || len(s.Last().Laps) != 1 {
		t.Errorf("the block has %v s and %d laps", got, len(s.Last().Laps))
	}
	if len(s.Changes) != 1 || s.Changes[0].Kind != trial.ClockRestart || s.Changes[0].ByS != 20 {
		t.Errorf("the changes are %+v", s.Changes)
	}
	d.run, d.mono, d.wall = 2, 0, d.wall-3600_000 // and with a clock put back meanwhile it does not run backwards
	if again := d.event(Event{Kind: Open}); again.At(d.mono) < s.At(0) || again.Changes[1].ByS != 0 {
		t.Errorf("the stopwatch reads %v after %v: %+v", again.At(d.mono), s.At(0), again.Changes)
	}
}

func TestMarks(t *testing.T) {
	d := ready(t)
	s := d.tap(Start)
	at := s.Last().Start.S
	for _, c := range []struct {
		from, to float64
		want     []Mark
	}{{at, at + 359, nil}, {at + 359, at + 360, []Mark{BlockOver}}, {at + 360, at + 400, nil}, {at + 100, at + 500,
		[]Mark{BlockOver}}} {
		if diff := cmp.Diff(c.want, s.Marks(c.from, c.to)); diff != "" {
			t.Errorf("from %v to %v: %s", c.from-at, c.to-at, diff)
		}
	}
	d.wait(359)
	s = d.tap(End)
	end := s.Last().End.S
	if got := s.Marks(end+119, end+121); len(got) != 1 || got[0] != RestOver {
		t.Errorf("after the rest: %v", got)
	}
}
