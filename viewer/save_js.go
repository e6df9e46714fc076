//go:build js && wasm

package main

import (
	"context"
	"strings"

	"soletrial/viewer/app"
	"soletrial/viewer/store"
)

// saver writes what belongs to the reader to the store, one value after the other. Of
// a value that changes faster than it can be written only the latest is.
type saver struct {
	store   store.Store
	model   *app.Model
	done    func(notice string) // says that something was not saved; "" that it was
	pending map[string][]byte
	wake    chan bool
}

func newSaver(own store.Store, m *app.Model, done func(notice string)) *saver {
	s := &saver{own, m, done, map[string][]byte{}, make(chan bool, 1)}
	go func() {
		for range s.wake {
			s.write()
		}
	}()
	return s
}

const notSaved = "). It is here until this page is closed: free some space in the browser, or keep a link."

func (s *saver) write() {
	written := map[string]bool{}
	for _, key := range []string{viewsKey, ownKey, ownBlocksKey} {
		text, waiting := s.pending[key]
		if !waiting {
			continue
		}
		delete(s.pending, key)
		err := s.store.Change(context.Background(), key, func(stored []byte, found bool) []byte {
			if key == ownBlocksKey && len(text) > 0 && !written[ownKey] && !app.SameRecording(stored, text) {
				s.put(ownKey, s.model.OwnCSV()) // another tab has put its own there
			}
			if key != viewsKey {
				return text
			}
			if found { // another tab may have written since
				s.model.MergeViews(stored)
			}
			text = s.model.ViewsText()
			return text
		})
		written[key] = err == nil
		if key == viewsKey && err == nil {
			s.model.ViewsStored(text)
		}
		if err != nil {
			s.done("Your browser did not keep this for the next visit (" + err.Error() + notSaved)
		} else {
			s.done("")
		}
	}
}

func (s *saver) put(key string, text []byte) {
	s.pending[key] = text
	select {
	case s.wake <- true:
	default: // a write is due already
	}
}

// after saves what an action changed.
func (s *saver) after(m *app.Model, action string) {
	kind, _, _ := strings.Cut(action, " ")
	switch {
	case kind == app.DoSaveView || kind == app.DoDeleteView:
		s.put(viewsKey, m.ViewsText())
	case kind == app.DoOwnDelete:
		s.put(ownBlocksKey, nil)
		s.put(ownKey, nil)
	case kind == app.DoOwnView || kind == app.DoOwnZoom || kind == app.DoOwnCursor:
	case strings.HasPrefix(kind, "own-") && m.Own() != nil: // else it may be another tab's
		s.put(ownBlocksKey, m.OwnBlocksText())
	}
}
