//go:build js && wasm

// Command viewer is the explorer in the browser: it loads the published dataset,
// runs the analysis again, and lets the reader change it.
//
// This file only ties the parts together; see the packages below it.
package main

import (
	"context"
	"fmt"
	"runtime/debug"
	"strings"
	"time"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/dom"
	"soletrial/viewer/fetch"
	"soletrial/viewer/load"
	"soletrial/viewer/store"
	"soletrial/viewer/view"
)

// The ids that the page's shell gives to what the explorer fills.
const (
	statusID = "explorer-status"
	hostID   = "explorer-app"
)

// Where what the reader keeps is kept: views, and a recording of their own with
// how it is cut.
const (
	viewsKey  = "views"
	ownKey    = "recording"
	ownCutKey = "recording cut"
)

// settleMs is how long a reader must have stopped before the new state is read
// out and written into the address.
const settleMs = 300

// roomy is the width of the explorer, in CSS pixels, from which wide figures fit.
const roomy = 760

func main() {
	debug.SetGCPercent(400) // tidying up must not take a frame while something is dragged
	m, kept, err := open()
	if err != nil {
		dom.Say(statusID, "The explorer stopped: "+err.Error()+".")
	} else {
		run(m, kept)
	}
	select {} // events must always find the program running
}

// open loads the bundle that the page names and derives everything from it, and
// opens the store of what the reader keeps.
func open() (*app.Model, store.Store, error) {
	ctx := context.Background()
	base := dom.Absolute(dom.Data(hostID, "bundle"))
	fetched, kept, err := store.Open(ctx, "soletrial "+base)
	if err != nil {
		fetched, kept = &store.Memory{}, &store.Memory{}
	}
	loader := load.Loader{Source: fetch.Site{Base: base}, Store: fetched, Report: func(p load.Progress) {
		dom.Say(statusID, fmt.Sprintf("Loading file %d of %d, %.1f of %.1f MB…", p.Files, p.OfFiles, float64(p.Bytes)/1e6, float64(p.OfBytes)/1e6))
	}}
	bundle, err := loader.Load(ctx)
	if err != nil {
		return nil, nil, err
	}
	m, err := app.Open(bundle, func(done, of int) {
		dom.Say(statusID, fmt.Sprintf("Running the analysis again: session %d of %d…", done, of))
		time.Sleep(time.Millisecond) // lets the browser show it
	})
	if err != nil {
		return nil, nil, err
	}
	m.Lasting = kept.Lasting()
	if text, found, err := kept.Get(ctx, viewsKey); err == nil && found {
		m.SetViews(text)
	}
	if cut, found, err := kept.Get(ctx, ownCutKey); err == nil && found && len(cut) > 0 {
		if recording, found, err := kept.Get(ctx, ownKey); err == nil && found {
			m.SetOwn(cut, recording)
		}
	}
	return m, kept, nil
}

// run shows the model and follows the reader from then on. Everything happens
// on the browser's event loop.
func run(m *app.Model, kept store.Store) {
	if f := dom.Fragment(); strings.Contains(f, "=") {
		m.Follow(f)
		m.Recompute()
	}
	var root *dom.Root
	settled := dom.Settled(settleMs, func() {
		dom.Say(statusID, view.Status(m))
		dom.SetFragment(m.Choice().Fragment())
	})
	refresh := dom.OnFrame(func() {
		m.Width = figure.Wide
		if dom.Width(hostID) < roomy {
			m.Width = figure.Narrow
		}
		m.Recompute()
		root.Show(view.Page(m)...)
		settled()
	})
	keep := keeping(kept, func(notice string) {
		m.Notice = notice
		refresh()
	})
	root = dom.NewRoot(hostID, func(action, value string) {
		if file, asked := view.Save(m, action); asked {
			dom.Save(file.Name, file.Type, file.Content, file.Picture)
			return
		}
		m.Do(action, value)
		keep.after(m, action)
		refresh()
	})
	bringing(m, keep, refresh)
	dom.OnFragment(func() {
		// A fragment without a choice in it is a place on the page.
		if f := dom.Fragment(); f != m.Choice().Fragment() && (f == "" || strings.Contains(f, "=")) {
			m.Follow(dom.Fragment())
			refresh()
		}
	})
	dom.OnResize(refresh)
	refresh()
}
