//go:build js && wasm

// Command track is the page for the day at the track: it shows one thing to do at a
// time, keeps every tap on the phone before it moves on, and hands out one file at
// the end.
//
// This file ties the parts together; what happened is package session, what is shown
// is package screen, and device_js.go is what a phone can do.
package main

import (
	"context"
	"runtime/debug"

	"soletrial/viewer/dom"
	"soletrial/viewer/store"
	"soletrial/viewer/track/screen"
	"soletrial/viewer/track/session"
)

// The ids that the page's shell gives to what this program fills.
const (
	hostID = "track-app"
	sayID  = "track-status"
)

// bounceMs is for how long after a tap another one is taken for a finger that
// trembled: the button under it may be a new one.
const bounceMs = 350

// tickMs is how often the clock is read.
const tickMs = 200

func main() {
	debug.SetGCPercent(400)
	p := open()
	p.root = dom.NewRoot(hostID, p.tapped)
	p.refresh = dom.OncePerFrame(p.show)
	go p.work()
	p.start()
	every(tickMs, p.tick)
	onVisible(func(visible bool) {
		p.hidden = p.hidden || !visible
		p.tick()
		if visible {
			p.wake()
		}
	})
	dom.OnFragment(func() { p.queue(tap{command: followed}) })
	select {} // events must always find the program running
}

// page is all that the program holds.
type page struct {
	view    screen.View
	journal store.Journal
	version string // of the program
	name    string // of the open log, "" for none
	events  []session.Event
	state   *session.State // nil where no log is open
	run     int            // which opening of the page this is, in the open log
	hidden  bool           // out of sight since the last event
	last    int64          // the page's clock at the last tap that was taken
	marked  float64        // the stopwatch up to which marks were given
	shown   string         // key of what is on the screen
	root    *dom.Root
	refresh func()
	taps    chan tap
}

// tap is something that waits for its turn: an action with the clocks at the time.
type tap struct {
	action, value string
	at            clocks
	command       string // followed or noticed, instead of an action
}

// What waits for its turn beside taps.
const (
	followed = "followed" // the address names another session
	noticed  = "noticed"  // the clock on the wall jumped
)

func open() *page {
	ctx := context.Background()
	p := &page{taps: make(chan tap, 64)}
	var journal store.Journal
	err := persistently(func() (err error) {
		journal, err = store.OpenJournal(ctx, "soletrial track "+dom.Absolute("./"))
		return err
	})
	if err != nil {
		journal = &store.MemoryJournal{}
	}
	p.journal = journal
	p.view.Offers = offers(journal.Persistent())
	p.view.Today = today()
	p.view.Plans, p.view.Shoes, p.version = published(ctx)
	return p
}

// start opens the log that the address names, where there is one, else the first
// screen.
func (p *page) start() {
	p.list()
	p.view.Wanted = fragment()
	for _, k := range p.view.Kept {
		if k.Session == p.view.Wanted && !k.Done {
			p.resume(k.Session)
		}
	}
	p.refresh()
}

// list reads which logs are on this phone.
func (p *page) list() {
	ctx := context.Background()
	p.view.Kept = nil
	var names []string
	err := persistently(func() (err error) {
		names, err = p.journal.Names(ctx)
		return err
	})
	if err != nil {
		p.view.Notice = "The logs on this phone cannot be read (" + err.Error() + "). Reload the page."
	}
	for _, name := range names {
		events := p.read(name)
		s := session.Fold(events)
		p.view.Kept = append(p.view.Kept, screen.Kept{Session: name, Run: len(s.Blocks), All: len(s.Plan.Order),
			Done: s.Step == session.StepDone})
	}
}

// read returns the events of a log; what cannot be read is said and passed over.
func (p *page) read(name string) []session.Event {
	var records [][]byte
	err := persistently(func() (err error) {
		records, err = p.journal.Read(context.Background(), name)
		return err
	})
	var events []session.Event
	for _, record := range records {
		e, broken := session.Decode(record)
		if broken != nil {
			err = broken
			continue
		}
		events = append(events, e)
	}
	if err != nil {
		p.view.Notice = "Not all of " + name + " can be read (" + err.Error() + ")."
	}
	return events
}

// tapped takes what a person does to a control. The clocks are read at once.
func (p *page) tapped(action, value string) { p.queue(tap{action: action, value: value, at: now()}) }

func (p *page) queue(t tap) {
	select {
	case p.taps <- t:
	default: // sixty-four taps wait already: a pocket is tapping
	}
}

// work takes the taps one after the other, as keeping one takes time.
func (p *page) work() {
	for t := range p.taps {
		switch t.command {
		case followed:
			p.follow()
		case noticed:
			p.notice(t.at)
		default:
			p.take(t)
		}
		p.refresh()
	}
}

// take does what a tap asks for.
func (p *page) take(t tap) {
	do := p.view.Take(p.state, t.action, t.value)
	if do.Event == "" && do.Command == "" {
		return
	}
	if t.at.mono-p.last < bounceMs {
		return
	}
	p.last = t.at.mono
	unlockSound()
	if do.Event != "" {
		p.record(do.Event, do.Args, t.at)
		p.wake()
		return
	}
	p.command(do)
}

// record keeps an event, and only then lets the state move on.
func (p *page) record(kind session.Kind, args []string, at clocks) {
	e := session.Event{Kind: kind, Run: p.run, MonoMs: at.mono, WallMs: at.wall, ZoneMin: at.zone, Hidden: p.hidden,
		Args: args}
	err := persistently(func() error {
		return p.journal.Append(context.Background(), p.name, len(p.events), e.Encode())
	})
	if kind != session.Clock {
		p.view.Moved()
	}
	switch {
	case err == store.ErrTaken:
		p.resume(p.name)
		p.view.Notice = "This log continued in another window: close that one."
		return
	case err != nil:
		p.view.Notice = "The phone could not keep this (" + err.Error() +
			"). It is here until the page is closed: free some space, and save the file before you leave."
		p.journal, p.view.Offers.Keeps = p.carryOn(), false
	}
	p.hidden = false
	p.events = append(p.events, e)
	p.state = session.Fold(p.events)
}

// persistently tries something that the browser's storage may be too slow for.
func persistently(try func() error) (err error) {
	for range 3 {
		if err = try(); err == nil || err == store.ErrTaken {
			break
		}
	}
	return err
}

// carryOn is a journal in memory that holds what the one that failed holds.
func (p *page) carryOn() store.Journal {
	memory := &store.MemoryJournal{}
	for i, e := range p.events {
		if err := memory.Append(context.Background(), p.name, i, e.Encode()); err != nil {
			break // cannot be: the list is new
		}
	}
	return memory
}

// notice records that the clock on the wall jumped, unless a tap has by now.
func (p *page) notice(at clocks) {
	if p.state != nil && p.state.Step != session.StepDone && jumped(p.state, at) {
		p.record(session.Clock, nil, at)
	}
}

func jumped(s *session.State, at clocks) bool {
	parted := s.Parted(at.mono, at.wall)
	return parted > session.Jump || parted < -session.Jump
}

// tick moves the clock on the screen, gives the marks, and watches the two clocks.
func (p *page) tick() {
	if p.state == nil {
		return
	}
	at := now()
	if p.state.Step != session.StepDone && jumped(p.state, at) {
		p.queue(tap{command: noticed, at: at})
		return
	}
	s := p.state.At(at.mono)
	for _, mark := range p.state.Marks(p.marked, s) {
		p.mark(mark)
	}
	if int(s) != int(p.marked) {
		p.refresh()
	}
	p.marked = s
}

// mark tells a mark by sound, by vibration and to screen readers.
func (p *page) mark(m session.Mark) {
	switch m {
	case session.BlockOver:
		sound(880, 3)
		vibrate(600, 200, 600, 200, 600)
		dom.SetText(sayID, "Time. End the block.")
	case session.RestOver:
		sound(660, 2)
		vibrate(300, 150, 300)
		dom.SetText(sayID, "The rest is over.")
	case session.WarmUpOver:
		sound(660, 1)
		vibrate(400)
		dom.SetText(sayID, "The warm-up is over.")
	}
}

// show puts the state on the screen; at something new, the heading gets the focus.
func (p *page) show() {
	s := 0.0
	if p.state != nil {
		s = p.state.At(now().mono)
	}
	p.root.Show(screen.Page(&p.view, p.state, s)...)
	if key := p.name + " " + screen.Key(&p.view, p.state); key != p.shown {
		p.shown = key
		arrive()
	}
}

// wake keeps the screen on while a session runs.
func (p *page) wake() {
	keepAwake(p.state != nil && p.state.Step < session.StepDone)
}
