//go:build js && wasm

package store

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"time"

	"github.com/hack-pad/go-indexeddb/idb"
)

// The object stores: what was fetched, by content, and what the reader keeps. The
// second came with version 2 of the database.
const (
	blobs = "blobs"
	own   = "own"
	// requestTimeout is how long one request may take: a browser that is out of disk,
	// or asks the person first, may never answer.
	requestTimeout = 5 * time.Second
)

// errTimeout replaces the nil error that a request gives when its time is up.
var errTimeout = errors.New("the browser's storage did not answer in time")

// Open opens the browser's IndexedDB database of the given name, with a store for
// what is fetched and another for what the reader keeps. It returns an error where
// the browser has none or refuses it, as in some private windows.
func Open(ctx context.Context, name string) (fetched, kept Store, err error) {
	// The library panics where there is no IndexedDB. This is the only recover.
	defer func() {
		if cause := recover(); cause != nil {
			err = fmt.Errorf("the browser offers no storage: %v", cause)
		}
	}()
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	// The upgrade must not end with this call's context: it has its own.
	created := false
	request, err := idb.Global().Open(context.Background(), name, 2, func(db *idb.Database, old, _ uint) error {
		if old < 1 {
			created = true
			if _, err := db.CreateObjectStore(blobs, idb.ObjectStoreOptions{}); err != nil {
				return err
			}
		}
		_, err := db.CreateObjectStore(own, idb.ObjectStoreOptions{})
		return err
	})
	if err != nil {
		return nil, nil, fmt.Errorf("opening the browser's storage: %w", err)
	}
	db, err := request.Await(ctx)
	if err = timeoutAsError(ctx, err); err != nil {
		return nil, nil, fmt.Errorf("opening the browser's storage: %w", err)
	}
	// What the reader keeps may come from another window at any moment: it is always asked for.
	return &database{db: db, objects: blobs, empty: created}, &database{db: db, objects: own}, nil
}

// timeoutAsError turns a context that ended into an error: the library's Await
// returns nil then.
func timeoutAsError(ctx context.Context, err error) error {
	if err == nil && ctx.Err() != nil {
		return errTimeout
	}
	return err
}

// database is a Store over IndexedDB. Each call is one transaction but for Prune, which asks for
// the keys first. A transaction ends when nothing more is asked of it in the event that answers.
type database struct {
	db      *idb.Database
	objects string
	empty   bool // it was created just now, and holds nothing that was not put in since
	silent  bool // it did not answer in time once: nobody waits for it a second time
}

// Get implements [Store].
func (d *database) Get(ctx context.Context, key string) ([]byte, bool, error) {
	if d.empty {
		return nil, false, nil
	}
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	// A database that was silent once is not asked again.
	objects, _, err := d.begin(idb.TransactionReadOnly)
	if err == nil && d.silent {
		err = errTimeout
	}
	if err != nil {
		return nil, false, err
	}
	request, err := objects.Get(js.ValueOf(key))
	if err != nil {
		return nil, false, err
	}
	blob, found, err := answer(ctx, request)
	d.silent = d.silent || errors.Is(err, errTimeout)
	return blob, found, err
}

// answer waits for the bytes that a request asks for; whatever is not bytes counts as absent.
func answer(ctx context.Context, request *idb.Request) (blob []byte, found bool, err error) {
	value, err := request.Await(ctx)
	if err = timeoutAsError(ctx, err); err != nil || !value.InstanceOf(js.Global().Get("Uint8Array")) {
		return nil, false, err
	}
	blob = make([]byte, value.Get("byteLength").Int())
	js.CopyBytesToGo(blob, value)
	return blob, true, nil
}

// Put implements [Store].
func (d *database) Put(ctx context.Context, key string, blob []byte) error {
	return d.Change(ctx, key, func([]byte, bool) []byte { return blob })
}

// Change implements [Store]. Reading and writing are one transaction, which the browser lets
// nobody else write into. It is still open when the bytes have come: Go goes on within the event
// that brings them. It returns when the transaction is complete, so a full disk is an error here
// and not later.
func (d *database) Change(ctx context.Context, key string, change func([]byte, bool) []byte) error {
	d.empty = false
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	objects, transaction, err := d.begin(idb.TransactionReadWrite)
	if err != nil {
		return err
	}
	request, err := objects.Get(js.ValueOf(key))
	if err != nil {
		return err
	}
	blob, found, err := answer(ctx, request)
	if err != nil {
		return err
	}
	blob = change(blob, found)
	array := js.Global().Get("Uint8Array").New(len(blob))
	js.CopyBytesToJS(array, blob)
	if _, err = objects.PutKey(js.ValueOf(key), array); err != nil {
		return err
	}
	return timeoutAsError(ctx, transaction.Await(ctx))
}

// Prune implements [Store].
func (d *database) Prune(ctx context.Context, wanted func(string) bool) error {
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	keys, err := d.keys(ctx)
	if err != nil {
		return err
	}
	objects, transaction, err := d.begin(idb.TransactionReadWrite)
	if err != nil {
		return err
	}
	for _, key := range keys {
		if wanted(key.String()) {
			continue
		}
		if _, err := objects.Delete(key); err != nil {
			return err
		}
	}
	return timeoutAsError(ctx, transaction.Await(ctx))
}

func (d *database) keys(ctx context.Context) ([]js.Value, error) {
	objects, _, err := d.begin(idb.TransactionReadOnly)
	if err != nil {
		return nil, err
	}
	request, err := objects.GetAllKeys()
	if err != nil {
		return nil, err
	}
	keys, err := request.Await(ctx)
	return keys, timeoutAsError(ctx, err)
}

// Persistent implements [Store]: IndexedDB survives a reload.
func (d *database) Persistent() bool { return true }

func (d *database) begin(mode idb.TransactionMode) (*idb.ObjectStore, *idb.Transaction, error) {
	transaction, err := d.db.Transaction(mode, d.objects)
	if err != nil {
		return nil, nil, err
	}
	objects, err := transaction.ObjectStore(d.objects)
	return objects, transaction, err
}
