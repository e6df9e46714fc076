// Package session is what happens at the track as a list of events, one for every
// tap, and the state that follows from them.
//
// Its opinions: the events are the only truth, and the state is a fold over them,
// so whatever brings the events back (a reload, a crash, a dead battery) brings
// the session back; nothing that was tapped is ever deleted, undo is an event too;
// every event carries both clocks, and the fold says where the two part.
//
// Order of use: [Event.Encode] and [Decode] for the store, [Fold] for the state,
// [State.FieldLog] for the file at the end. The package touches no clock itself.
package session

import (
	"errors"
	"strconv"
	"strings"
)

// Kind is what an event was.
type Kind string

// The kinds of event, with their arguments.
const (
	Open       Kind = "open"       // the page was opened: version of the program
	Planned    Kind = "plan"       // a plan was chosen: see [Plan]
	Clock      Kind = "clock"      // the clock was seen to jump
	Weighed    Kind = "weighed"    // a pair was weighed: left and right in grams, "" where not
	Conditions Kind = "conditions" // the day: air, wind, humidity, sky, surface
	Sensor     Kind = "sensor"     // where the foot sensor sits
	Pass       Kind = "pass"       // a step was left out
	WarmStart  Kind = "warm-start"
	WarmEnd    Kind = "warm-end"
	Start      Kind = "start" // of the block whose turn it is
	Lap        Kind = "lap"
	End        Kind = "end"    // of the block
	Signal     Kind = "signal" // the block ended at the signal, before End was tapped
	Early      Kind = "early"  // why the block ended early: reason
	Exertion   Kind = "exertion"
	Comfort    Kind = "comfort"
	Noted      Kind = "noted"  // of the block: note, laps, metres
	Skip       Kind = "skip"   // the next block: reason
	Again      Kind = "again"  // the last block is to be run again: reason
	Swap       Kind = "swap"   // another shoe is worn: id, reason
	Wore       Kind = "wore"   // another shoe was worn in the block just run: id, reason
	Stop       Kind = "stop"   // the session, at once
	OnlyBlock  Kind = "only"   // Stop was meant for the block alone
	Stopped    Kind = "why"    // why it was stopped: reason
	Finish     Kind = "finish" // all blocks are run: remark on the session
	Remark     Kind = "remark" // on the session: text
	Undo       Kind = "undo"
	Redo       Kind = "redo"
)

// Event is one tap, or one thing that the page noticed.
type Event struct {
	Kind    Kind
	Run     int   // which opening of the page, from 0
	MonoMs  int64 // the clock of the page, which only runs forward, since this opening
	WallMs  int64 // the clock on the wall, since 1 January 1970 UTC
	ZoneMin int   // the offset of the clock on the wall from UTC, minutes to the east
	Hidden  bool  // whether the page was out of sight since the event before
	Args    []string
}

// Encode returns the event as one line of text.
func (e Event) Encode() []byte {
	hidden := 0
	if e.Hidden {
		hidden = 1
	}
	line := string(e.Kind)
	for _, n := range []int64{int64(e.Run), e.MonoMs, e.WallMs, int64(e.ZoneMin), int64(hidden)} {
		line += " " + strconv.FormatInt(n, 10)
	}
	for _, arg := range e.Args {
		line += " " + strconv.Quote(arg)
	}
	return []byte(line)
}

var errEvent = errors.New("a tap that was kept cannot be read")

// Decode reads what [Event.Encode] wrote.
func Decode(line []byte) (Event, error) {
	kind, rest, _ := strings.Cut(string(line), " ")
	var numbers [5]int64
	for i := range numbers {
		var word string
		word, rest, _ = strings.Cut(rest, " ")
		n, err := strconv.ParseInt(word, 10, 64)
		if err != nil {
			return Event{}, errEvent
		}
		numbers[i] = n
	}
	e := Event{Kind: Kind(kind), Run: int(numbers[0]), MonoMs: numbers[1], WallMs: numbers[2], ZoneMin: int(numbers[3]),
		Hidden: numbers[4] != 0}
	for rest != "" {
		quoted, err := strconv.QuotedPrefix(rest)
		if err != nil {
			return Event{}, errEvent
		}
		arg, _ := strconv.Unquote(quoted) // QuotedPrefix has read it already
		e.Args = append(e.Args, arg)
		rest = strings.TrimPrefix(rest[len(quoted):], " ")
	}
	return e, nil
}

// arg returns an argument, "" where there is none.
func (e Event) arg(i int) string {
	if i < len(e.Args) {
		return e.Args[i]
	}
	return ""
}
