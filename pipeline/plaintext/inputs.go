package plaintext

import (
	"fmt"
	"io/fs"
	"slices"
	"sort"
	"strings"

	"soletrial/pipeline/checksum"
)

// Input is a file that a dataset's results depend on.
type Input struct {
	Path   string // relative to the dataset, with slashes
	SHA256 string // 64 lower-case hexadecimal digits
}

// Inputs lists every input file by path: dataset.yaml, the registers, and all
// files of the sessions. What is derived, generated or there for readers only is
// left out, and so are the JSON twins of a published dataset.
func (f *Folder) Inputs() ([]Input, error) { return f.hash(f.inputPaths()) }

func (f *Folder) inputPaths() []string {
	paths := f.TopPaths()
	for _, id := range f.found.sessions {
		paths = append(paths, f.SessionPaths(id)...)
	}
	sort.Slice(paths, func(a, b int) bool { return paths[a] < paths[b] })
	return paths
}

// TopInputs lists those of [Folder.Inputs] that are in no session's folder.
func (f *Folder) TopInputs() ([]Input, error) { return f.hash(f.TopPaths()) }

// SessionInputs lists those of [Folder.Inputs] that are in a session's folder.
func (f *Folder) SessionInputs(id string) ([]Input, error) { return f.hash(f.SessionPaths(id)) }

// Summed is a file system that knows the SHA-256 of some of its files, "" for the
// others.
type Summed interface{ SHA256Of(path string) string }

func (f *Folder) hash(paths []string) ([]Input, error) {
	var inputs []Input
	known, summed := f.fsys.(Summed)
	for _, path := range paths {
		if summed && known.SHA256Of(path) != "" {
			inputs = append(inputs, Input{path, known.SHA256Of(path)})
			continue
		}
		text, err := fs.ReadFile(f.fsys, path)
		if err != nil {
			return nil, fmt.Errorf("cannot hash the inputs: %w", err)
		}
		inputs = append(inputs, Input{path, checksum.SHA256(text)})
	}
	SortInputs(inputs)
	return inputs, nil
}

// SortInputs puts inputs into the order of their paths.
func SortInputs(inputs []Input) {
	sortStable(inputs, func(a, b *Input) int { return strings.Compare(a.Path, b.Path) })
}

// TopPaths lists the paths of [Folder.TopInputs].
func (f *Folder) TopPaths() []string { return slices.Clone(f.found.top) }

// SessionPaths lists the paths of [Folder.SessionInputs].
func (f *Folder) SessionPaths(id string) []string {
	var paths []string
	for _, name := range f.found.files[id] {
		if name != twin(sessionFile) && name != twin(planFile) && name != twin(FieldLogFile) {
			paths = append(paths, sessionsFolder+"/"+id+"/"+name)
		}
	}
	return paths
}

// Names lists all files in a session's folder.
func (f *Folder) Names(id string) []string { return f.found.files[id] }
