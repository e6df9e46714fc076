package cli

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/pipeline/checksum"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/derive"
)

// descriptorName is the description of the dataset for programs, at its root, so that they can
// read the folder itself and not only what is published.
const descriptorName = "datapackage.json"

// descriptorTexts are datapackage.json and what it refers to, by path in the dataset. It lists
// every input and every derived table. Without a version in dataset.yaml it names none: a
// published one is named by the hash of all that is published.
func (a *app) descriptorTexts(result *derive.Result) (map[string][]byte, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, err
	}
	var files []datapackage.File
	for _, in := range result.Inputs {
		f := datapackage.File{Path: in.Path, SHA256: in.SHA256}
		if f.Bytes, f.Text, err = sizeAndHead(fsys, in.Path); err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	for _, t := range result.Tables {
		files = append(files, datapackage.File{Path: dataset.DerivedFolder + "/" + t.Name, Text: t.Text})
	}
	text, err := datapackage.Package(result.Dataset, files, "", result.Dataset.Facts.SiteURL)
	return map[string][]byte{descriptorName: text}, err
}

// sizeAndHead are the length of a file and its first line.
func sizeAndHead(fsys fs.FS, path string) (size int, head []byte, err error) {
	f, err := fsys.Open(path)
	if err != nil {
		return 0, nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return 0, nil, err
	}
	head, err = bufio.NewReader(f).ReadBytes('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return 0, nil, fmt.Errorf("cannot read %q: %w", path, err)
	}
	return int(info.Size()), head, nil
}

// staleDescriptor returns what datapackage.json on disk does not say as the dataset is now: files
// that it does not list, or lists with another hash. A published one lists more, and is fresh
// too.
func staleDescriptor(fsys fs.FS, result *derive.Result) []staleTable {
	text, err := fs.ReadFile(fsys, descriptorName)
	if err != nil {
		return []staleTable{{descriptorName, []byte(descriptorName + " is not there\n"), false}}
	}
	// What it lists.
	var onDisk struct{ Resources []struct{ Path, Hash string } }
	if err := json.Unmarshal(text, &onDisk); err != nil {
		return []staleTable{{descriptorName, fmt.Appendf(nil, "%s is damaged: %v\n", descriptorName, err), false}}
	}
	listed := map[string]string{}
	for _, r := range onDisk.Resources {
		listed[r.Path] = r.Hash
	}
	// What there is.
	var wrong strings.Builder
	compare := func(path, sha256 string) {
		switch hash, found := listed[path]; {
		case !found:
			fmt.Fprintf(&wrong, "%s on disk does not list %s\n", descriptorName, path)
		case hash != "sha256:"+sha256:
			fmt.Fprintf(&wrong, "%s on disk has another hash of %s\n", descriptorName, path)
		}
	}
	for _, in := range result.Inputs {
		compare(in.Path, in.SHA256)
	}
	for _, t := range result.Tables {
		compare(dataset.DerivedFolder+"/"+t.Name, checksum.SHA256(t.Text))
	}
	if wrong.Len() == 0 {
		return nil
	}
	return []staleTable{{descriptorName, []byte(wrong.String()), false}}
}
