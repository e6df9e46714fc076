package datapackage

import (
	"io/fs"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// demo returns the demonstration dataset: its facts, and its files with the
// derived ones.
func demo(t testing.TB) (*trial.Dataset, []File) {
	t.Helper()
	folder, err := readDemo()
	files := slices.Clone(demoFiles)
	if err != nil || len(files) < 30 {
		t.Fatalf("%d files: %v", len(files), err)
	}
	return &folder.Dataset, files
}

var demoFiles []File

var readDemo = sync.OnceValues(func() (*plaintext.Folder, error) {
	fsys := os.DirFS("../../data")
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	if len(problems) > 0 {
		return nil, problems[0]
	}
	return folder, fs.WalkDir(fsys, ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || strings.HasPrefix(path, "README") {
			return err
		}
		text, err := fs.ReadFile(fsys, path)
		demoFiles = append(demoFiles, File{Path: path, Text: text})
		return err
	})
})
