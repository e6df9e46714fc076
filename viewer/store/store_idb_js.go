//go:build js && wasm

package store

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"time"
)

// The object stores: what was fetched, by content, and what the reader keeps. The
// second came with version 2 of the database.
const (
	version = 2
	blobs   = "blobs"
	own     = "own"
	// patience is how long one request may take: a browser that is out of disk,
	// or asks the person first, may never answer.
	patience = 20 * time.Second
)

var (
	errNoStorage = errors.New("the browser offers no storage")
	errGaveUp    = errors.New("the browser's storage gave up without a reason")
	errNoAnswer  = errors.New("the browser's storage did not answer in time")
)

// Open opens the browser's IndexedDB database of the given name, with a store for
// what is fetched and another for what the reader keeps. It returns an error where
// the browser has none or refuses it, as in some private windows.
func Open(ctx context.Context, name string) (fetched, kept Store, err error) {
	var request js.Value
	err = try(func() {
		factory := js.Global().Get("indexedDB")
		if !factory.Truthy() {
			err = errNoStorage
			return
		}
		request = factory.Call("open", name, version)
	})
	if err != nil || request.IsUndefined() {
		return nil, nil, fmt.Errorf("opening the browser's storage: %w", errors.Join(err, errNoStorage))
	}
	upgrade := js.FuncOf(func(_ js.Value, args []js.Value) any {
		db := request.Get("result")
		if args[0].Get("oldVersion").Int() < 1 {
			db.Call("createObjectStore", blobs)
		}
		db.Call("createObjectStore", own)
		return nil
	})
	defer upgrade.Release()
	request.Set("onupgradeneeded", upgrade)
	if err := answer(ctx, request, "onsuccess"); err != nil {
		return nil, nil, fmt.Errorf("opening the browser's storage: %w", err)
	}
	db := request.Get("result")
	return &database{db, blobs}, &database{db, own}, nil
}

// try turns what the browser throws into an error. This is the only recover.
func try(work func()) (err error) {
	defer func() {
		if cause := recover(); cause != nil {
			thrown, known := cause.(js.Error)
			if !known {
				panic(cause)
			}
			err = thrown
		}
	}()
	work()
	return nil
}

// answer waits for a request or a transaction to succeed or to fail.
func answer(ctx context.Context, target js.Value, succeeds string) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	done := make(chan error, 3) // an error is followed by an abort
	for event, failed := range map[string]bool{succeeds: false, "onerror": true, "onabort": true} {
		listener := js.FuncOf(func(js.Value, []js.Value) any {
			err := errGaveUp
			if reason := target.Get("error"); !failed {
				err = nil
			} else if reason.Truthy() {
				err = js.Error{Value: reason}
			}
			done <- err
			return nil
		})
		target.Set(event, listener)
		defer func() {
			target.Set(event, js.Null())
			listener.Release()
		}()
	}
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return errNoAnswer
	}
}

// database is a Store over IndexedDB. Each call is one transaction with one
// round of requests, since a transaction ends when its task does.
type database struct {
	db      js.Value
	objects string
}

// begin starts a transaction and makes its requests in one go.
func (d *database) begin(mode string, requests func(objects js.Value)) (transaction js.Value, err error) {
	err = try(func() {
		transaction = d.db.Call("transaction", d.objects, mode)
		requests(transaction.Call("objectStore", d.objects))
	})
	return transaction, err
}

// ask makes one reading request and waits for its result.
func (d *database) ask(ctx context.Context, method string, arguments ...any) (js.Value, error) {
	var request js.Value
	_, err := d.begin("readonly", func(objects js.Value) { request = objects.Call(method, arguments...) })
	if err == nil {
		err = answer(ctx, request, "onsuccess")
	}
	if err != nil {
		return js.Undefined(), err
	}
	return request.Get("result"), nil
}

// write makes writing requests and returns when the transaction is complete, so a
// full disk is an error here and not later.
func (d *database) write(ctx context.Context, requests func(objects js.Value)) error {
	transaction, err := d.begin("readwrite", requests)
	if err != nil {
		return err
	}
	return answer(ctx, transaction, "oncomplete")
}

// Get implements [Store].
func (d *database) Get(ctx context.Context, key string) ([]byte, bool, error) {
	value, err := d.ask(ctx, "get", key)
	if err != nil || !value.InstanceOf(js.Global().Get("Uint8Array")) {
		return nil, false, err
	}
	blob := make([]byte, value.Get("byteLength").Int())
	js.CopyBytesToGo(blob, value)
	return blob, true, nil
}

// Put implements [Store].
func (d *database) Put(ctx context.Context, key string, blob []byte) error {
	array := js.Global().Get("Uint8Array").New(len(blob))
	js.CopyBytesToJS(array, blob)
	return d.write(ctx, func(objects js.Value) { objects.Call("put", array, key) })
}

// Keep implements [Store].
func (d *database) Keep(ctx context.Context, wanted func(string) bool) error {
	keys, err := d.ask(ctx, "getAllKeys")
	if err != nil {
		return err
	}
	return d.write(ctx, func(objects js.Value) {
		for i := range keys.Length() {
			if key := keys.Index(i).String(); !wanted(key) {
				objects.Call("delete", key)
			}
		}
	})
}

// Lasting implements [Store]: IndexedDB survives a reload.
func (d *database) Lasting() bool { return true }
