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

// The keys of the reader's own values in the store: views, and a recording of their
// own with its blocks.
const (
	viewsKey     = "views"
	ownKey       = "recording"
	ownBlocksKey = "recording cut"
)

// settleMs is how long a reader must have stopped before the new state is read
// out and written into the address.
const settleMs = 300

// wideFrom is the width of the explorer, in CSS pixels, from which wide figures fit.
const wideFrom = 760

func main() {
	debug.SetGCPercent(400) // a collection must not take a frame while something is dragged
	m, loader, own, err := open()
	if err != nil {
		dom.SetText(statusID, "The explorer stopped: "+err.Error()+".")
	} else {
		run(m, loader, own)
	}
	select {} // events must always find the program running
}

// open opens the stores, loads the part of the page's bundle that is shown first,
// derives it, and restores what the reader saved.
func open() (*app.Model, *load.Loader, store.Store, error) {
	ctx := context.Background()
	base := dom.Absolute(dom.Data(hostID, "bundle"))
	fetched, own, err := store.Open(ctx, "soletrial "+base)
	if err != nil {
		fetched, own = &store.Memory{}, &store.Memory{}
	}
	loader := &load.Loader{Source: fetch.Site{Base: base}, Store: fetched}
	loader.Report = func(p load.Progress) { dom.SetText(statusID, loadingText(p)) }
	bundle, err := loadFirst(ctx, loader, own.Persistent())
	if err != nil {
		return nil, nil, nil, err
	}
	m, err := app.Open(bundle, func(done, of int) {
		dom.SetText(statusID, derivingText(done, of))
		time.Sleep(time.Millisecond) // lets the browser show it
	})
	if err != nil {
		return nil, nil, nil, err
	}
	m.Persistent = own.Persistent()
	restore(ctx, m, own)
	return m, loader, own, nil
}

// restore reads what the reader saved on an earlier visit.
func restore(ctx context.Context, m *app.Model, own store.Store) {
	if text, found, err := own.Get(ctx, viewsKey); err == nil && found {
		m.RestoreViews(text)
	}
	blocks, found, err := own.Get(ctx, ownBlocksKey)
	if err != nil || !found || len(blocks) == 0 {
		return
	}
	if recording, found, err := own.Get(ctx, ownKey); err == nil && found {
		m.RestoreOwn(blocks, recording)
	}
}

func loadingText(p load.Progress) string {
	return fmt.Sprintf("Loading file %d of %d, %.1f of %.1f MB…", p.Files, p.OfFiles, float64(p.Bytes)/1e6,
		float64(p.OfBytes)/1e6)
}

func derivingText(done, of int) string {
	return fmt.Sprintf("Running the analysis again: session %d of %d…", done, of)
}

// loadFirst loads what the address asks for: everything where that needs no network
// or where there is no published answer, else the answer with the sessions shown.
func loadFirst(ctx context.Context, loader *load.Loader, persistent bool) (*load.Bundle, error) {
	bundle, err := loader.LoadIndex(ctx)
	if err != nil {
		return nil, err
	}
	selection := app.InitialSelection(bundle.Index, dom.Fragment())
	if !selection.All && persistent && loader.StoreHasAll(ctx, bundle) {
		selection = load.Selection{All: true}
	}
	if bundle, err = loader.LoadMore(ctx, bundle, selection); err == nil && !selection.All && !bundle.HasAnswer() {
		return loader.LoadMore(ctx, bundle, load.Selection{All: true})
	}
	return bundle, err
}

// run shows the model and follows the reader from then on. Everything happens
// on the browser's event loop.
func run(m *app.Model, loader *load.Loader, own store.Store) {
	if f := dom.Fragment(); strings.Contains(f, "=") {
		m.Follow(f)
		m.Recompute()
	}
	var root *dom.Root
	settled := dom.Debounced(settleMs, func() {
		dom.SetText(statusID, view.Status(m))
		dom.SetFragment(m.Choice().Fragment())
	})
	refresh := dom.OncePerFrame(func() {
		m.Width = figure.Wide
		if dom.Width(hostID) < wideFrom {
			m.Width = figure.Narrow
		}
		m.Recompute()
		root.Show(view.Page(m)...)
		settled()
	})
	saved := newSaver(own, func(notice string) {
		m.Notice = notice
		refresh()
	})
	actions := &actionQueue{m: m, loader: loader, refresh: refresh}
	actions.after = func(action string) { saved.after(m, action) }
	root = dom.NewRoot(hostID, func(action, value string) {
		if file, asked := view.Save(m, action); asked {
			dom.Save(file.Name, file.Type, file.Content, file.Picture)
			return
		}
		actions.do(action, value)
	})
	openFiles(m, saved, refresh)
	dom.OnFragment(func() {
		// A fragment without a choice in it is a place on the page.
		if f := dom.Fragment(); f != m.Choice().Fragment() && (f == "" || strings.Contains(f, "=")) {
			actions.do(app.DoFollow, f)
		}
	})
	dom.OnResize(refresh)
	refresh()
}
