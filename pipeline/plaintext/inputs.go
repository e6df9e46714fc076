package plaintext

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/stable"
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
	paths := slices.Clone(f.found.top)
	for _, id := range f.found.sessions {
		paths = append(paths, f.sessionPaths(id)...)
	}
	slices.Sort(paths)
	return paths
}

// TopInputs lists those of [Folder.Inputs] that are in no session's folder.
func (f *Folder) TopInputs() ([]Input, error) { return f.hash(f.found.top) }

// SessionInputs lists those of [Folder.Inputs] that are in a session's folder.
func (f *Folder) SessionInputs(id string) ([]Input, error) { return f.hash(f.sessionPaths(id)) }

func (f *Folder) hash(paths []string) ([]Input, error) {
	var inputs []Input
	for _, path := range paths {
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
	stable.Sort(inputs, func(a, b Input) int { return strings.Compare(a.Path, b.Path) })
}

// sessionPaths lists the paths of [Folder.SessionInputs].
func (f *Folder) sessionPaths(id string) []string {
	var paths []string
	for _, name := range f.found.files[id].names {
		if name != jsonName(sessionFile) && name != jsonName(planFile) && name != jsonName(FieldLogFile) {
			paths = append(paths, sessionsFolder+"/"+id+"/"+name)
		}
	}
	return paths
}
