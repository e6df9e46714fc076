// Package store keeps bytes between visits, under the SHA-256 of their content
// or, for the few files that change under one name, under a name.
//
// A store is a convenience, never a source of truth: whoever reads from it checks the
// hash again, and everything works without it.
package store

import (
	"context"
	"sync"
)

// Store keeps blobs by key. An implementation may lose anything at any time.
type Store interface {
	// Get returns the bytes kept under key; found is false where there are none.
	Get(ctx context.Context, key string) (blob []byte, found bool, err error)
	// Put keeps the bytes under key, replacing what was there.
	Put(ctx context.Context, key string, blob []byte) error
	// Change replaces what is kept under key by what change makes of it; found is false where
	// there is nothing. Nobody else, in this page or in another tab, writes in between.
	Change(ctx context.Context, key string, change func(blob []byte, found bool) []byte) error
	// Prune deletes every key for which wanted is false.
	Prune(ctx context.Context, wanted func(key string) bool) error
	// Persistent reports whether what is kept survives a reload.
	Persistent() bool
}

// ContentKey returns the key of content with the given SHA-256 in hexadecimal.
func ContentKey(sha256 string) string { return "sha256:" + sha256 }

// NameKey returns the key of a file that changes under one name.
func NameKey(name string) string { return "name:" + name }

// Memory is a Store that lasts as long as the page. The zero value is ready.
type Memory struct {
	mu    sync.Mutex
	blobs map[string][]byte
}

// Get implements [Store]; the bytes are the caller's.
func (m *Memory) Get(_ context.Context, key string) ([]byte, bool, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	blob, found := m.blobs[key]
	return append([]byte(nil), blob...), found, nil
}

// Put implements [Store]; it copies the bytes.
func (m *Memory) Put(_ context.Context, key string, blob []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.blobs == nil {
		m.blobs = map[string][]byte{}
	}
	m.blobs[key] = append([]byte(nil), blob...)
	return nil
}

// Change implements [Store]. A page has one writer, and no tab has another's memory.
func (m *Memory) Change(ctx context.Context, key string, change func([]byte, bool) []byte) error {
	blob, found, err := m.Get(ctx, key)
	if err != nil {
		return err
	}
	return m.Put(ctx, key, change(blob, found))
}

// Prune implements [Store].
func (m *Memory) Prune(_ context.Context, wanted func(string) bool) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for key := range m.blobs {
		if !wanted(key) {
			delete(m.blobs, key)
		}
	}
	return nil
}

// Persistent implements [Store]: memory does not last.
func (m *Memory) Persistent() bool { return false }
