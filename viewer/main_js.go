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

// keeper writes what the reader keeps, one thing after the other, and of what
// changes faster than it can be written only the latest.
type keeper struct {
	kept store.Store
	wait map[string][]byte
	more chan bool
}

func keeping(kept store.Store) *keeper {
	k := &keeper{kept, map[string][]byte{}, make(chan bool, 1)}
	go func() {
		for range k.more {
			k.write()
		}
	}()
	return k
}

func (k *keeper) write() {
	for _, key := range []string{viewsKey, ownKey, ownCutKey} {
		text, waiting := k.wait[key]
		if !waiting {
			continue
		}
		delete(k.wait, key)
		if err := k.kept.Put(context.Background(), key, text); err != nil {
			dom.Say(statusID, "This could not be kept for the next visit: "+err.Error()+".")
		}
	}
}

func (k *keeper) put(key string, text []byte) {
	k.wait[key] = text
	select {
	case k.more <- true:
	default: // it will be seen
	}
}

// after keeps what an action changed.
func (k *keeper) after(m *app.Model, action string) {
	kind, _, _ := strings.Cut(action, " ")
	switch {
	case kind == app.DoKeep || kind == app.DoDrop:
		k.put(viewsKey, m.ViewsText())
	case kind == app.DoOwnForget:
		k.put(ownCutKey, nil)
		k.put(ownKey, nil)
	case kind == app.DoOwnView || kind == app.DoOwnZoom || kind == app.DoOwnAt:
	case strings.HasPrefix(kind, "own-"):
		k.put(ownCutKey, m.OwnText())
	}
}

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
		dom.Say(statusID, fmt.Sprintf("Loading file %d of %d…", p.Files, p.OfFiles))
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
	keep := keeping(kept)
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
