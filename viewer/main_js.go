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

// refineAfterMs is how long a reader must have stopped before the new state is read
// out and written into the address.
const refineAfterMs = 300

// wideFrom is the width of the explorer, in CSS pixels, from which wide figures fit.
const wideFrom = 760

func main() {
	debug.SetGCPercent(400) // a collection must not take a frame while something is dragged
	m, loader, own, err := open()
	if err != nil {
		dom.SetText(statusID, "The explorer stopped: "+err.Error()+".")
		dom.Started(statusID, "stopped")
	} else {
		run(m, loader, own)
		dom.Started(statusID, "running")
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
	loader.Hold = true // until the page is shown
	bundle, failed, err := loadFirst(ctx, loader)
	if err != nil {
		return nil, nil, nil, err
	}
	m, err := app.Open(bundle, func(done, of int) {
		if of > 0 {
			dom.SetText(statusID, derivingText(done, of))
		}
		time.Sleep(time.Millisecond) // lets the browser show it
	})
	if err != nil {
		return nil, nil, nil, err
	}
	m.Persistent, m.Failed, m.SavesData = own.Persistent(), failed, dom.SavesData()
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

// loadFirst loads the published answer with the sums, or everything where there is no published
// answer. Sums that cannot be had are left out, and said.
func loadFirst(ctx context.Context, loader *load.Loader) (bundle *load.Bundle, failed string, err error) {
	index, err := loader.LoadIndex(ctx)
	if err != nil {
		return nil, "", err
	}
	selection := app.InitialSelection(index.Index, dom.Fragment())
	bundle, err = loader.LoadMore(ctx, index, selection)
	if err != nil && !selection.All {
		failed = fetchFailed + err.Error() + "."
		bundle, err = loader.LoadMore(ctx, index, load.Selection{})
	}
	if err == nil && !selection.All && !bundle.HasAnswer() {
		bundle, err = loader.LoadMore(ctx, bundle, load.Selection{All: true})
	}
	return bundle, failed, err
}

// run shows the model and follows the reader from then on. Everything happens
// on the browser's event loop.
func run(m *app.Model, loader *load.Loader, own store.Store) {
	if f := dom.Fragment(); strings.Contains(f, "=") {
		m.Follow(f)
		m.Recompute()
	}
	var root *dom.Root
	show := func() { root.Show(view.Page(m)...) }
	measure := func() { // not for every picture, because it makes the browser lay the page out
		m.Width = figure.Wide
		if dom.Width(hostID) < wideFrom {
			m.Width = figure.Narrow
		}
	}
	write := dom.SetFragment // as the reader came, in the program's own words
	refine := dom.Debounced(refineAfterMs, func() {
		if m.Refine() {
			show()
		}
		dom.SetText(statusID, view.Status(m))
		write(m.Choice().Fragment())
		write = dom.PushFragment
	})
	refresh := dom.OncePerFrame(func() {
		m.Recompute()
		show()
		refine()
	})
	saved := newSaver(own, m, func(notice string) {
		if notice != "" {
			m.Notice = notice
		}
		refresh()
	})
	background := &background{m: m, loader: loader, refresh: refresh}
	var opened *opener
	do := func(action, value string) {
		m.Do(action, value)
		opened.after(action)
		saved.after(m, action)
		background.after(action)
		refresh()
	}
	root = dom.NewRoot(hostID, func(action, value string) {
		if file, asked := view.Save(m, action); asked {
			dom.Save(file.Name, file.Type, file.Content, file.Picture)
			return
		}
		do(action, value)
	})
	opened = newOpener(m, saved, refresh)
	dom.OnFragment(func() {
		// A fragment without a choice in it is a place on the page.
		if f := dom.Fragment(); f != m.Choice().Fragment() && (f == "" || strings.Contains(f, "=")) {
			do(app.DoFollow, f)
		}
	})
	dom.OnUndoKeys(func(again bool) {
		action := app.DoUndo
		if again {
			action = app.DoRedo
		}
		do(action, "")
	})
	dom.OnResize(func() {
		measure()
		refresh()
	})
	dom.OnScheme(root.Repaint)
	measure()
	refresh()
	dom.WhenIdle(func() {
		go loader.Release(context.Background())
		background.begin()
	})
}
