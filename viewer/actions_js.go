//go:build js && wasm

package main

import (
	"context"
	"slices"
	"time"

	"soletrial/viewer/app"
	"soletrial/viewer/dom"
	"soletrial/viewer/load"
)

// background fetches what the reader's choice needs, and in idle time the samples of all
// sessions, while the page stays usable: it changes the model only when something is there.
type background struct {
	m       *app.Model
	loader  *load.Loader
	refresh func()
	busy    bool
	refused []load.Selection // what could not be fetched; not asked for again by itself
	stop    context.CancelFunc
	idle    bool      // everything may be fetched
	acted   time.Time // when the reader last did something
}

// begin starts fetching everything, unless that would be much or the reader saves data.
func (b *background) begin() {
	b.idle = b.m.CanBeExact()
	b.m.Prepare()
	b.after("")
}

// after sees to what an action needs.
func (b *background) after(action string) {
	b.acted = time.Now()
	switch action {
	case app.DoStop:
		if b.stop != nil {
			b.stop()
		}
	case app.DoRetry:
		b.m.Failed, b.refused = "", nil
	case app.DoTry:
		if b.m.CanTry() {
			go b.try()
		}
		return
	}
	if !b.busy {
		b.busy = true
		go b.work()
	}
}

// next returns what to fetch next: what the choice needs, then in idle time everything, but
// nothing that could not be had before; more is false where nothing is left.
func (b *background) next() (want load.Selection, more bool) {
	able := func(want load.Selection) bool {
		return !slices.ContainsFunc(b.refused, func(r load.Selection) bool { return want.Equal(r) })
	}
	if want, more = b.m.Needs(); more && able(want) {
		return want, true
	}
	want = load.Selection{All: true}
	return want, b.idle && !b.m.Bundle.Complete() && able(want)
}

// work fetches until nothing more is needed. What fails is said, and waits for the reader.
func (b *background) work() {
	for {
		want, more := b.next()
		if !more {
			break
		}
		var ctx context.Context
		ctx, b.stop = context.WithCancel(context.Background())
		err := b.fetch(ctx, want)
		if err != nil && ctx.Err() != nil {
			b.m.Notice = "Fetching was stopped. What came so far is kept for the next time."
		} else if err != nil {
			b.m.Failed = fetchFailed + err.Error() + "."
			b.refused = append(b.refused, want)
			b.m.WantAll = false
		}
		b.stop()
		b.stop = nil
		b.refresh()
	}
	b.busy, b.m.Fetching = false, ""
	b.refresh()
}

const fetchFailed = "Not everything could be fetched; the rest works. "

// restMs is how long the program works before it lets the browser do something else.
const restMs = 8

// fetch adds the selected files to the model, or returns why it cannot.
func (b *background) fetch(ctx context.Context, selection load.Selection) error {
	b.loader.Report = func(p load.Progress) {
		if b.m.WantAll {
			b.m.Fetching = loadingText(p)
			dom.SetText(statusID, b.m.Fetching)
			b.refresh()
		}
	}
	bundle, err := b.loader.LoadMore(ctx, b.m.Bundle, selection)
	if err != nil {
		return err
	}
	for selection.All && !b.m.WantAll && time.Since(b.acted) < quietMs*time.Millisecond {
		time.Sleep(quietMs / 4 * time.Millisecond) // nobody waits for it
	}
	return b.m.Extend(bundle, b.rests())
}

// quietMs is for how long the reader must have done nothing before long work goes on.
const quietMs = 700

// rests returns what to call now and then during long work: it lets the browser show what
// the reader does meanwhile, and waits while they are at it.
func (b *background) rests() func(done, of int) {
	since := time.Now()
	return func(int, int) {
		if time.Since(since) > restMs*time.Millisecond {
			time.Sleep(time.Millisecond)
			for time.Since(b.acted) < quietMs*time.Millisecond {
				time.Sleep(quietMs / 4 * time.Millisecond)
			}
			since = time.Now()
		}
	}
}

// try makes all analyses of the robustness.
func (b *background) try() {
	rest, shown := b.rests(), 0
	b.m.TryAll(func() {
		if made := b.m.Trying.Made; made-shown >= 10 {
			shown = made
			b.refresh()
		}
		rest(0, 0)
	})
	b.refresh()
}
