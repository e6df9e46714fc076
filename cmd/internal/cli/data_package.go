package cli

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"slices"

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
	// What is listed: the inputs by their hashes, and the derived tables.
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
	// The description, and the Table Schemas that it refers to.
	text, err := datapackage.Package(result.Dataset, files, "", result.Dataset.Facts.SiteURL)
	if err != nil {
		return nil, err
	}
	schemas, err := datapackage.Schemas(files)
	if err != nil {
		return nil, err
	}
	texts := map[string][]byte{descriptorName: text}
	for _, schema := range schemas {
		texts[schema.Path] = schema.Text
	}
	return texts, nil
}

// sizeAndHead are the length of a file and its first line, which may end as on Windows.
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
	return int(info.Size()), bytes.ReplaceAll(head, []byte("\r\n"), []byte("\n")), nil
}

// staleDescriptor returns what of the description on disk does not say how the dataset is now: a
// datapackage.json that lacks files or has other hashes of them, and schemas that differ. A
// published datapackage.json lists more, and is fresh too.
func (a *app) staleDescriptor(result *derive.Result) ([]staleTable, error) {
	texts, err := a.descriptorTexts(result)
	if err != nil {
		return nil, err
	}
	var stale []staleTable
	if wrong := wrongHashes(a.folder, result); len(wrong) > 0 {
		stale = append(stale, staleTable{descriptorName, wrong, false})
	}
	delete(texts, descriptorName)
	for _, path := range slices.Sorted(maps.Keys(texts)) {
		found, err := compareFile(a.folder, path, texts[path])
		if err != nil {
			return nil, err
		}
		stale = append(stale, found...)
	}
	return stale, nil
}

// wrongHashes says what datapackage.json on disk lacks or has wrong; nothing where it is fresh.
func wrongHashes(fsys fs.FS, result *derive.Result) (lines []byte) {
	// What it lists.
	text, err := fs.ReadFile(fsys, descriptorName)
	if err != nil {
		return []byte(descriptorName + " is not there\n")
	}
	var onDisk struct{ Resources []struct{ Path, Hash string } }
	if err := json.Unmarshal(text, &onDisk); err != nil {
		return fmt.Appendf(nil, "%s is damaged: %v\n", descriptorName, err)
	}
	listed := map[string]string{}
	for _, r := range onDisk.Resources {
		listed[r.Path] = r.Hash
	}
	// What there is.
	inspect := func(path, sha256 string) {
		switch hash, found := listed[path]; {
		case !found:
			lines = fmt.Appendf(lines, "%s on disk does not list %s\n", descriptorName, path)
		case hash != "sha256:"+sha256:
			lines = fmt.Appendf(lines, "%s on disk has another hash of %s\n", descriptorName, path)
		}
	}
	for _, in := range result.Inputs {
		inspect(in.Path, in.SHA256)
	}
	for _, t := range result.Tables {
		inspect(dataset.DerivedFolder+"/"+t.Name, checksum.SHA256(t.Text))
	}
	return lines
}
