package store

import (
	"context"
	"testing"
)

func TestMemory(t *testing.T) {
	ctx := context.Background()
	var m Memory
	if _, found, err := m.Get(ctx, "a"); found || err != nil {
		t.Fatalf("an empty store has a: %v, %v", found, err)
	}
	text := []byte("first")
	for key, blob := range map[string][]byte{ContentKey("ab"): text, NameKey("index.json"): []byte("second")} {
		if err := m.Put(ctx, key, blob); err != nil {
			t.Fatal(err)
		}
	}
	text[0] = 'X'
	got, found, err := m.Get(ctx, "sha256:ab")
	if string(got) != "first" || !found || err != nil {
		t.Errorf("Get = %q, %v, %v; want the bytes as they were put", got, found, err)
	}
	if err := m.Prune(ctx, func(key string) bool { return key == "name:index.json" }); err != nil {
		t.Fatal(err)
	}
	if _, found, _ := m.Get(ctx, "sha256:ab"); found {
		t.Error("Prune left an unwanted key")
	}
	if _, found, _ := m.Get(ctx, NameKey("index.json")); !found {
		t.Error("Prune dropped a wanted key")
	}
	longer := func(blob []byte, found bool) []byte {
		if !found {
			return []byte("new")
		}
		return append(blob, '!')
	}
	for _, want := range []string{"new", "new!"} {
		if err := m.Change(ctx, "views", longer); err != nil {
			t.Fatal(err)
		}
		if got, _, _ := m.Get(ctx, "views"); string(got) != want {
			t.Errorf("after a change it is %q, not %q", got, want)
		}
	}
	if m.Persistent() {
		t.Error("memory claims to last")
	}
}
