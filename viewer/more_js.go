//go:build js && wasm

package main

import (
	"context"
	"time"

	"soletrial/viewer/app"
	"soletrial/viewer/dom"
	"soletrial/viewer/load"
)

// asker takes the reader's actions. One that needs sessions that are not there
// fetches them first; those after it that need some too wait behind it.
type asker struct {
	m       *app.Model
	loader  *load.Loader
	refresh func()
	after   func(action string) // follows every action taken
	waiting [][2]string
	stop    context.CancelFunc // nil while nothing is fetched
}

func (a *asker) do(action, value string) {
	if action == app.DoStop {
		if a.stop != nil {
			a.stop()
		}
		return
	}
	if _, more := a.m.Requires(action, value); !more {
		a.take(action, value)
		return
	}
	a.waiting = append(a.waiting, [2]string{action, value})
	if a.stop != nil {
		return
	}
	var ctx context.Context
	ctx, a.stop = context.WithCancel(context.Background())
	a.m.Fetching = "Fetching…"
	a.refresh()
	go a.work(ctx)
}

func (a *asker) take(action, value string) {
	a.m.Do(action, value)
	a.after(action)
	a.refresh()
}

// work fetches for the waiting actions, one after the other, and takes them. When
// it is stopped or fails they are dropped, and nothing has changed.
func (a *asker) work(ctx context.Context) {
	notice := ""
	for len(a.waiting) > 0 && notice == "" {
		action, value := a.waiting[0][0], a.waiting[0][1]
		if want, more := a.m.Requires(action, value); more {
			notice = a.fetch(ctx, want)
		}
		if notice == "" {
			a.waiting = a.waiting[1:]
			a.take(action, value)
		}
	}
	a.stop()
	a.waiting, a.stop, a.m.Fetching = nil, nil, ""
	if notice != "" {
		a.m.Notice = notice
	}
	a.refresh()
}

// fetch brings the wanted files into the model, or says why not.
func (a *asker) fetch(ctx context.Context, want load.Selection) (notice string) {
	say := func(text string) {
		a.m.Fetching = text
		dom.SetText(statusID, text)
		a.refresh()
	}
	a.loader.Report = func(p load.Progress) { say(loading(p)) }
	bundle, err := a.loader.LoadMore(ctx, a.m.Bundle, want)
	if err == nil {
		err = a.m.Extend(bundle, func(done, of int) {
			say(running(done, of))
			time.Sleep(time.Millisecond) // lets the browser show it
		})
	}
	switch {
	case err == nil:
		return ""
	case ctx.Err() != nil:
		return "Fetching was stopped; nothing has changed. What came so far is kept for the next time."
	}
	return "The sessions could not be fetched: " + err.Error() + "."
}
