package store

import (
	"context"
	"errors"
	"slices"
	"testing"
)

func TestMemoryJournal(t *testing.T) {
	ctx := context.Background()
	var m MemoryJournal
	for n, record := range []string{"first", "second"} {
		if err := m.Append(ctx, "a", n, []byte(record)); err != nil {
			t.Fatal(err)
		}
	}
	if err := m.Append(ctx, "a", 1, []byte("second")); err != nil {
		t.Errorf("the same record once more gives %v", err)
	}
	if err := m.Append(ctx, "a", 1, []byte("other")); !errors.Is(err, ErrTaken) {
		t.Errorf("a number that is taken gives %v", err)
	}
	if err := m.Append(ctx, "b", 0, nil); err != nil {
		t.Fatal(err)
	}
	if names, err := m.Names(ctx); err != nil || !slices.Equal(names, []string{"a", "b"}) {
		t.Errorf("the names are %q, %v", names, err)
	}
	if records, err := m.Read(ctx, "a"); err != nil || len(records) != 2 || string(records[1]) != "second" {
		t.Errorf("a holds %q, %v", records, err)
	}
	if err := m.Delete(ctx, "a"); err != nil {
		t.Fatal(err)
	}
	if records, err := m.Read(ctx, "a"); err != nil || len(records) != 0 || m.Persistent() {
		t.Errorf("deleted, a holds %q, %v", records, err)
	}
}
