package main_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is published holds software of others, whose licences ask to go along.
func TestPublishedExplorerCarriesLicences(t *testing.T) {
	site := publish(t)
	text, err := os.ReadFile(filepath.Join(site, "explorer/licences.txt"))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range []string{
		"the Go programming language", "github.com/muktihari/fit", "github.com/hack-pad/go-indexeddb", "Apache License",
		"Redistributions in binary form must reproduce the above",
	} {
		if !strings.Contains(string(text), part) {
			t.Errorf("explorer/licences.txt lacks %q", part)
		}
	}
	page, err := os.ReadFile(filepath.Join(site, "explorer/index.html"))
	if err != nil || !strings.Contains(string(page), `href="licences.txt"`) {
		t.Errorf("the explorer's page does not lead to its licences (%v)", err)
	}
}
