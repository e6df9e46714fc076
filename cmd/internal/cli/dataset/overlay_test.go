package dataset_test

import (
	"testing"
	"testing/fstest"

	"soletrial/cmd/internal/cli/dataset"
)

// The standard library's own test of a file system.
func TestOverlayIsAFileSystem(t *testing.T) {
	base := fstest.MapFS{"a.txt": {Data: []byte("old")}, "sessions/s1/blocks.csv": {Data: []byte("old")}}
	files := map[string][]byte{"a.txt": []byte("new one"), "sessions/s2/blocks.csv": []byte("new"), "b.txt": nil}
	both := dataset.Overlay(base, files)
	if err := fstest.TestFS(both, "a.txt", "b.txt", "sessions/s1/blocks.csv", "sessions/s2/blocks.csv"); err != nil {
		t.Error(err)
	}
	if err := fstest.TestFS(dataset.Overlay(nil, files), "a.txt", "b.txt", "sessions/s2/blocks.csv"); err != nil {
		t.Error(err)
	}
}
