package main

import (
	"bytes"
	"testing"

	"soletrial/pipeline/plaintext/schema"
)

// What the program carries is what the types say now.
func TestSchemasAreThoseOfTheTypes(t *testing.T) {
	carried := schema.Files()
	made := schemas()
	if len(carried) != len(made) {
		t.Errorf("%d schemas in %s, want %d", len(carried), folder, len(made))
	}
	for name, text := range made {
		if !bytes.Equal(carried[name], text) {
			t.Errorf("%s is not what the types say: run `go run ./scripts/schemas`", name)
		}
	}
}
