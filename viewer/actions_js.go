//go:build js && wasm

package main

import (
	"context"
	"time"

	"soletrial/viewer/app"
	"soletrial/viewer/dom"
	"soletrial/viewer/load"
)

// actionQueue takes the reader's actions. One that needs sessions that are not loaded
// fetches them first; those after it that need some too wait behind it.
type actionQueue struct {
	m       *app.Model
	loader  *load.Loader
	refresh func()
	after   func(action string) // follows every action taken
	waiting []action
	stop    context.CancelFunc // nil while nothing is fetched
}

type action struct{ name, value string }

func (q *actionQueue) do(name, value string) {
	if name == app.DoStop {
		if q.stop != nil {
			q.stop()
		}
		return
	}
	if _, more := q.m.Requires(name, value); !more {
		q.take(name, value)
		return
	}
	q.waiting = append(q.waiting, action{name, value})
	if q.stop != nil {
		return
	}
	var ctx context.Context
	ctx, q.stop = context.WithCancel(context.Background())
	q.m.Fetching = "Fetching…"
	q.refresh()
	go q.work(ctx)
}

func (q *actionQueue) take(name, value string) {
	q.m.Do(name, value)
	q.after(name)
	q.refresh()
}

// work fetches for the waiting actions, one after the other, and takes them. When
// it is stopped or fails they are dropped, and nothing has changed.
func (q *actionQueue) work(ctx context.Context) {
	notice := ""
	for len(q.waiting) > 0 && notice == "" {
		next := q.waiting[0]
		if selection, more := q.m.Requires(next.name, next.value); more {
			notice = q.fetch(ctx, selection)
		}
		if notice == "" {
			q.waiting = q.waiting[1:]
			q.take(next.name, next.value)
		}
	}
	q.stop()
	q.waiting, q.stop, q.m.Fetching = nil, nil, ""
	if notice != "" {
		q.m.Notice = notice
	}
	q.refresh()
}

// fetch adds the selected files to the model, or returns why it cannot.
func (q *actionQueue) fetch(ctx context.Context, selection load.Selection) (notice string) {
	progress := func(text string) {
		q.m.Fetching = text
		dom.SetText(statusID, text)
		q.refresh()
	}
	q.loader.Report = func(p load.Progress) { progress(loadingText(p)) }
	bundle, err := q.loader.LoadMore(ctx, q.m.Bundle, selection)
	if err == nil {
		err = q.m.Extend(bundle, func(done, of int) {
			progress(derivingText(done, of))
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
