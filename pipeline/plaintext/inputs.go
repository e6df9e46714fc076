package plaintext

import (
	"fmt"
	"io/fs"
	"slices"
	"sort"

	"soletrial/pipeline/digest"
)

// Input is a file that a dataset's results depend on.
type Input struct {
	Path   string // relative to the dataset, with slashes
	SHA256 string // 64 lower-case hexadecimal digits
}

// Inputs lists every input file by path: dataset.yaml, the registers, and all
// files of the sessions. What is derived, generated or there for readers only is
// left out, and so are the JSON twins of a published dataset.
func (f *Folder) Inputs() ([]Input, error) {
	var inputs []Input
	for _, path := range f.inputPaths() {
		text, err := fs.ReadFile(f.fsys, path)
		if err != nil {
			return nil, fmt.Errorf("cannot hash the inputs: %w", err)
		}
		inputs = append(inputs, Input{path, digest.Hex(text)})
	}
	return inputs, nil
}

func (f *Folder) inputPaths() []string {
	paths := slices.Clone(f.found.top)
	for _, id := range f.found.sessions {
		for _, name := range f.found.files[id] {
			if name != twin(sessionFile) && name != twin(planFile) {
				paths = append(paths, sessionsFolder+"/"+id+"/"+name)
			}
		}
	}
	sort.Slice(paths, func(a, b int) bool { return paths[a] < paths[b] })
	return paths
}
