//go:build js && wasm

package store

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"syscall/js"

	"github.com/hack-pad/go-indexeddb/idb"
)

// OpenJournal opens a journal in the browser's IndexedDB database of the given name,
// which is one of [Open]. It returns an error where [Open] would.
func OpenJournal(ctx context.Context, name string) (Journal, error) {
	_, kept, err := Open(ctx, name)
	if err != nil {
		return nil, err
	}
	return &journal{kept.(*database)}, nil
}

// journal keeps each record under a key of its own: the name of the list, a space,
// and the number in as many digits that keys sort by it.
type journal struct{ *database }

func recordKey(name string, n int) string { return fmt.Sprintf("%s %08d", name, n) }

// keysOf lists the keys of a list in their order.
func (j *journal) keysOf(ctx context.Context, name string) ([]string, error) {
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	all, err := j.keys(ctx)
	if err != nil {
		return nil, err
	}
	var keys []string
	for _, key := range all {
		if of, _, found := cutKey(key.String()); found && of == name {
			keys = append(keys, key.String())
		}
	}
	slices.Sort(keys)
	return keys, nil
}

func cutKey(key string) (name, number string, found bool) {
	at := strings.LastIndexByte(key, ' ')
	if at < 0 {
		return "", "", false
	}
	return key[:at], key[at+1:], true
}

// Names implements [Journal].
func (j *journal) Names(ctx context.Context) ([]string, error) {
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	keys, err := j.keys(ctx)
	var names []string
	for _, key := range keys {
		if name, _, found := cutKey(key.String()); found {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names), err
}

// Read implements [Journal]. All requests are made before the first is waited for,
// since a transaction ends when none is left.
func (j *journal) Read(ctx context.Context, name string) ([][]byte, error) {
	keys, err := j.keysOf(ctx, name)
	if err != nil || len(keys) == 0 {
		return nil, err
	}
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	objects, _, err := j.begin(idb.TransactionReadOnly)
	if err != nil {
		return nil, err
	}
	// All requests are made before the first is awaited: the transaction ends when none is open.
	requests := make([]*idb.Request, len(keys))
	for i, key := range keys {
		if requests[i], err = objects.Get(js.ValueOf(key)); err != nil {
			return nil, err
		}
	}
	// The records, in the order of their keys.
	records := make([][]byte, len(keys))
	for i, request := range requests {
		value, err := request.Await(ctx)
		if err = timeoutAsError(ctx, err); err != nil {
			return nil, err
		}
		records[i] = make([]byte, value.Get("byteLength").Int())
		js.CopyBytesToGo(records[i], value)
	}
	return records, nil
}

// Append implements [Journal]. It returns when the browser says that the record is on
// the disk and not only on its way there: a battery may die at any moment.
func (j *journal) Append(ctx context.Context, name string, n int, record []byte) error {
	ctx, cancel := context.WithTimeout(ctx, requestTimeout)
	defer cancel()
	array := js.Global().Get("Uint8Array").New(len(record))
	js.CopyBytesToJS(array, record)
	options := idb.TransactionOptions{Mode: idb.TransactionReadWrite, Durability: idb.DurabilityStrict}
	transaction, err := j.db.TransactionWithOptions(options, j.objects)
	if err != nil {
		return err
	}
	objects, err := transaction.ObjectStore(j.objects)
	if err != nil {
		return err
	}
	if _, err = objects.AddKey(js.ValueOf(recordKey(name, n)), array); err != nil {
		return err
	}
	if err = timeoutAsError(ctx, transaction.Await(ctx)); err == nil {
		return nil
	}
	// The record may be there all the same: from another window, or from here, when the
	// browser only took its time.
	switch there, found, readErr := j.Get(context.Background(), recordKey(name, n)); {
	case readErr != nil || !found:
		return err
	case bytes.Equal(there, record):
		return nil
	}
	return ErrTaken
}

// Delete implements [Journal].
func (j *journal) Delete(ctx context.Context, name string) error {
	return j.Prune(ctx, func(key string) bool {
		of, _, found := cutKey(key)
		return !found || of != name
	})
}
