package session

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

func TestEventsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := Event{
			Kind:    Kind(rapid.StringMatching(`[a-z-]{1,8}`).Draw(t, "kind")),
			Run:     rapid.IntRange(0, 99).Draw(t, "run"),
			MonoMs:  rapid.Int64().Draw(t, "mono"),
			WallMs:  rapid.Int64().Draw(t, "wall"),
			ZoneMin: rapid.IntRange(-900, 900).Draw(t, "zone"),
			Hidden:  rapid.Bool().Draw(t, "hidden"),
			Args:    rapid.SliceOf(rapid.StringOf(rapid.Rune())).Draw(t, "args"),
		}
		got, err := Decode(want.Encode())
		if err != nil || cmp.Diff(want, got, cmpopts.EquateEmpty()) != "" {
			t.Fatalf("%v reads as %v, %v", want, got, err)
		}
	})
	for _, bad := range []string{"", "start", "start 0 1 2 3", "start 0 1 2 x 0", `start 0 1 2 3 0 "a`,
		"start 0 1 2 3 0 a"} {
		if _, err := Decode([]byte(bad)); err == nil {
			t.Errorf("%q is read", bad)
		}
	}
}

// Whatever is tapped in whatever order, on whatever clocks: the log is one that the
// strict reader takes, the stopwatch never runs backwards, and undo gives the state
// of before.
func TestAnyTaps(t *testing.T) {
	kinds := []Kind{Clock, Weighed, Conditions, Sensor, Pass, WarmStart, WarmEnd, Start, Start, Lap, End, Signal, Early,
		Exertion, Comfort,
		Noted, Skip, Again, Swap, Wore, Stop, OnlyBlock, Stopped, Finish, Remark, Undo, Redo}
	rapid.Check(t, func(rt *rapid.T) {
		d := newDay(t)
		last := 0.0
		for range rapid.IntRange(1, 60).Draw(rt, "taps") {
			kind := rapid.SampledFrom(kinds).Draw(rt, "kind")
			args := []string{rapid.SampledFrom([]string{"ash", "birch", "7", "100"}).Draw(rt, "arg"),
				"because: \"x\" #1"}
			d.wait(float64(rapid.IntRange(0, 5000).Draw(rt, "tenths")) / 10)
			switch rapid.IntRange(0, 30).Draw(rt, "clock") {
			case 0:
				d.wall += rapid.Int64Range(-4_000_000, 4_000_000).Draw(rt, "jump")
			case 1:
				d.run, d.mono = d.run+1, 0
			}
			switch {
			case kind == Exertion:
				args[0] = "7"
			case kind == Weighed:
				args[0] = "213"
			case (kind == Swap || kind == Wore) && args[0] != "birch":
				args[0] = "ash"
			}
			before := Fold(d.events)
			s := d.tap(kind, args...)
			read(rt, s.Text())
			if now := s.At(d.mono); now < last {
				rt.Fatalf("the stopwatch reads %v after %v", now, last)
			} else {
				last = now
			}
			if kind == Undo || kind == Redo || kind == Clock {
				continue
			}
			d2 := *d
			d2.events = append([]Event(nil), d.events...)
			undone := d2.tap(Undo)
			ignore := cmpopts.IgnoreFields(State{}, "watch", "wornWhy", "Changes", "Redoable")
			if diff := cmp.Diff(before, undone, ignore, cmpopts.EquateNaNs(), cmpopts.EquateEmpty()); diff != "" {
				rt.Fatalf("%s and undo (-before +after):\n%s", kind, diff)
			}
		}
	})
}
