// Command inwasm derives a dataset that comes as a zip archive and writes the
// tables, each after a line with its length and name. Parity builds it for
// WebAssembly: under Node it reads the file that its argument names and writes
// to standard output, in a page it takes the archive from the page and hands the
// tables back.
package main

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

func main() {
	text, err := archive()
	if err == nil {
		text, err = tables(text)
	}
	if err == nil {
		err = deliver(text)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// listing is an archive that lists its folders, which [plaintext.Open] asks for.
type listing struct{ *zip.Reader }

// ReadDir implements [fs.ReadDirFS].
func (l listing) ReadDir(name string) ([]fs.DirEntry, error) { return fs.ReadDir(l.Reader, name) }

// tables derives the dataset in an archive.
func tables(archive []byte) ([]byte, error) {
	unpacked, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return nil, err
	}
	folder, problems := plaintext.Open(listing{unpacked}, yamltext.Read, 1)
	result, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if len(problems) == 0 {
		for _, t := range result.Tables {
			fmt.Fprintf(&out, "%d %s\n%s", len(t.Text), t.Name, t.Text)
		}
	}
	for _, p := range problems {
		err = errors.Join(err, p)
	}
	return out.Bytes(), err
}
