package store

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"sync"
)

// Journal keeps lists of records that only ever grow, each under a name. Unlike a
// [Store] it may be a source of truth: what Append has taken is on the disk.
type Journal interface {
	// Names lists the names that have records, sorted.
	Names(ctx context.Context) ([]string, error)
	// Read returns the records under a name in their order.
	Read(ctx context.Context, name string) ([][]byte, error)
	// Append adds record number n, counted from 0; adding the same record again does
	// nothing. It is ErrTaken where there is another record with that number, as when
	// another window writes the same list.
	Append(ctx context.Context, name string, n int, record []byte) error
	// Delete drops all records under a name.
	Delete(ctx context.Context, name string) error
	// Persistent reports whether the records survive a reload.
	Persistent() bool
}

// ErrTaken says that a record with that number is there already.
var ErrTaken = errors.New("another window has written this already")

// MemoryJournal is a Journal that lasts as long as the page. The zero value is ready.
type MemoryJournal struct {
	mu    sync.Mutex
	lists map[string][][]byte
}

// Names implements [Journal].
func (m *MemoryJournal) Names(context.Context) ([]string, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	var names []string
	for name := range m.lists { // sorted below
		names = append(names, name)
	}
	slices.Sort(names)
	return names, nil
}

// Read implements [Journal].
func (m *MemoryJournal) Read(_ context.Context, name string) ([][]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.lists[name]), nil
}

// Append implements [Journal].
func (m *MemoryJournal) Append(_ context.Context, name string, n int, record []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if n < len(m.lists[name]) && bytes.Equal(m.lists[name][n], record) {
		return nil
	}
	if n != len(m.lists[name]) {
		return ErrTaken
	}
	if m.lists == nil {
		m.lists = map[string][][]byte{}
	}
	m.lists[name] = append(m.lists[name], slices.Clone(record))
	return nil
}

// Delete implements [Journal].
func (m *MemoryJournal) Delete(_ context.Context, name string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.lists, name)
	return nil
}

// Persistent implements [Journal]: memory does not last.
func (m *MemoryJournal) Persistent() bool { return false }
