//go:build js && wasm

package main

import (
	"context"
	"strings"

	"soletrial/viewer/app"
	"soletrial/viewer/store"
)

// keeper writes what the reader keeps, one thing after the other, and of what
// changes faster than it can be written only the latest.
type keeper struct {
	kept store.Store
	fail func(notice string) // says that something was not kept
	wait map[string][]byte
	more chan bool
}

func keeping(kept store.Store, fail func(notice string)) *keeper {
	k := &keeper{kept, fail, map[string][]byte{}, make(chan bool, 1)}
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
			k.fail("Your browser did not keep this for the next visit (" + err.Error() +
				"). It is here until this page is closed: free some room in the browser, or keep a link.")
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
	case kind == app.DoSaveView || kind == app.DoDeleteView:
		k.put(viewsKey, m.ViewsText())
	case kind == app.DoOwnDelete:
		k.put(ownCutKey, nil)
		k.put(ownKey, nil)
	case kind == app.DoOwnView || kind == app.DoOwnZoom || kind == app.DoOwnCursor:
	case strings.HasPrefix(kind, "own-"):
		k.put(ownCutKey, m.OwnBlocksText())
	}
}
