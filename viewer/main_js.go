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
	m, loader, kept, err := open()
	if err != nil {
		dom.SetText(statusID, "The explorer stopped: "+err.Error()+".")
	} else {
		run(m, loader, kept)
	}
	select {} // events must always find the program running
}

// open loads of the bundle that the page names what is shown first and derives it,
// and opens the store of what the reader keeps.
func open() (*app.Model, *load.Loader, store.Store, error) {
	ctx := context.Background()
	base := dom.Absolute(dom.Data(hostID, "bundle"))
	fetched, kept, err := store.Open(ctx, "soletrial "+base)
	if err != nil {
		fetched, kept = &store.Memory{}, &store.Memory{}
	}
	loader := &load.Loader{Source: fetch.Site{Base: base}, Store: fetched,
		Report: func(p load.Progress) { dom.SetText(statusID, loading(p)) }}
	bundle, err := first(ctx, loader, kept.Persistent())
	if err != nil {
		return nil, nil, nil, err
	}
	m, err := app.Open(bundle, func(done, of int) {
		dom.SetText(statusID, running(done, of))
		time.Sleep(time.Millisecond) // lets the browser show it
	})
	if err != nil {
		return nil, nil, nil, err
	}
	m.Persistent = kept.Persistent()
	if text, found, err := kept.Get(ctx, viewsKey); err == nil && found {
		m.RestoreViews(text)
	}
	if cut, found, err := kept.Get(ctx, ownCutKey); err == nil && found && len(cut) > 0 {
		if recording, found, err := kept.Get(ctx, ownKey); err == nil && found {
			m.RestoreOwn(cut, recording)
		}
	}
	return m, loader, kept, nil
}

func loading(p load.Progress) string {
	return fmt.Sprintf("Loading file %d of %d, %.1f of %.1f MB…", p.Files, p.OfFiles, float64(p.Bytes)/1e6,
		float64(p.OfBytes)/1e6)
}

func running(done, of int) string {
	return fmt.Sprintf("Running the analysis again: session %d of %d…", done, of)
}

// first loads what the address asks for: everything where that costs no network or
// where the published answer is not to be had, else the answer with the sessions
// looked at.
func first(ctx context.Context, loader *load.Loader, lasting bool) (*load.Bundle, error) {
	bundle, err := loader.LoadIndex(ctx)
	if err != nil {
		return nil, err
	}
	want := app.InitialSelection(bundle.Index, dom.Fragment())
	if !want.All && lasting && loader.StoreHasAll(ctx, bundle) {
		want = load.Selection{All: true}
	}
	if bundle, err = loader.LoadMore(ctx, bundle, want); err == nil && !want.All && !bundle.HasAnswer() {
		return loader.LoadMore(ctx, bundle, load.Selection{All: true})
	}
	return bundle, err
}

// run shows the model and follows the reader from then on. Everything happens
// on the browser's event loop.
func run(m *app.Model, loader *load.Loader, kept store.Store) {
	if f := dom.Fragment(); strings.Contains(f, "=") {
		m.Follow(f)
		m.Recompute()
	}
	var root *dom.Root
	settled := dom.Settled(settleMs, func() {
		dom.SetText(statusID, view.Status(m))
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
	more := &asker{m: m, loader: loader, refresh: refresh, after: func(action string) { keep.after(m, action) }}
	root = dom.NewRoot(hostID, func(action, value string) {
		if file, asked := view.Save(m, action); asked {
			dom.Save(file.Name, file.Type, file.Content, file.Picture)
			return
		}
		more.do(action, value)
	})
	bringing(m, keep, refresh)
	dom.OnFragment(func() {
		// A fragment without a choice in it is a place on the page.
		if f := dom.Fragment(); f != m.Choice().Fragment() && (f == "" || strings.Contains(f, "=")) {
			more.do(app.DoFollow, f)
		}
	})
	dom.OnResize(refresh)
	refresh()
}
