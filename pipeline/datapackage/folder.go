package datapackage

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/derive"
)

// FileName is the description of a dataset for programs, at its root, so that they can read the
// folder itself and not only what is published.
const FileName = "datapackage.json"

// derivedFolder is where the derived tables stand.
const derivedFolder = "derived/"

// Describe returns datapackage.json and the Table Schemas that it refers to, by path in the
// dataset. It lists every input and every derived table. Without a version in dataset.yaml it
// names none: a published one is named by the hash of all that is published. The error names a
// file that cannot be read.
func Describe(fsys fs.FS, result *derive.Result) (map[string][]byte, error) {
	// What is listed: the inputs by their hashes, and the derived tables.
	var files []File
	for _, in := range result.Inputs {
		f := File{Path: in.Path, SHA256: in.SHA256}
		var err error
		if f.Bytes, f.Text, err = sizeAndHead(fsys, in.Path); err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	for _, t := range result.Tables {
		files = append(files, File{Path: derivedFolder + t.Name, Text: t.Text})
	}
	// The description, and the Table Schemas that it refers to.
	text, err := Package(result.Dataset, files, "", result.Dataset.Facts.SiteURL)
	if err != nil {
		return nil, err
	}
	schemas, err := Schemas(files)
	if err != nil {
		return nil, err
	}
	texts := map[string][]byte{FileName: text}
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

// Stale says what datapackage.json on disk lacks or has wrong, a line each; nothing where it is fresh.
// A published one lists more, and is fresh too.
func Stale(fsys fs.FS, result *derive.Result) (lines []byte) {
	// What it lists.
	text, err := fs.ReadFile(fsys, FileName)
	if err != nil {
		return []byte(FileName + " is not there\n")
	}
	var onDisk struct{ Resources []struct{ Path, Hash string } }
	if err := json.Unmarshal(text, &onDisk); err != nil {
		return fmt.Appendf(nil, "%s is damaged: %v\n", FileName, err)
	}
	listed := map[string]string{}
	for _, r := range onDisk.Resources {
		listed[r.Path] = r.Hash
	}
	// What there is.
	inspect := func(path, sha256 string) {
		switch hash, found := listed[path]; {
		case !found:
			lines = fmt.Appendf(lines, "%s on disk does not list %s\n", FileName, path)
		case hash != "sha256:"+sha256:
			lines = fmt.Appendf(lines, "%s on disk has another hash of %s\n", FileName, path)
		}
	}
	for _, in := range result.Inputs {
		inspect(in.Path, in.SHA256)
	}
	for _, t := range result.Tables {
		inspect(derivedFolder+t.Name, checksum.SHA256(t.Text))
	}
	return lines
}
