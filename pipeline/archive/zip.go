// Package archive puts files into one zip archive whose bytes follow from the names
// and the contents alone.
//
// The files are in the order of their names, the time is the first that the format
// knows, and nothing says on which system the archive was made. The contents are
// compressed by compress/flate, whose output may change with the Go toolchain: the
// same files give the same archive on every machine for one version of the program,
// not from one version to the next.
package archive

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"io/fs"
	"slices"
)

// File is one file to be packed under a slash-separated path.
type File struct {
	Path string
	Text []byte
}

const (
	firstDay   = 1<<5 | 1 // 1 January 1980, where the format's dates begin (APPNOTE 4.4.6)
	utf8Names  = 0x800    // general purpose flag bit 11
	version2_0 = 20       // what a reader needs for folders and compressed files
)

// Zip returns the archive of the files, all of them in one folder. It fails when
// two files have one path or a path leaves the folder.
func Zip(folder string, files []File) ([]byte, error) {
	files = slices.Clone(files)
	slices.SortStableFunc(files, func(a, b File) int { return cmp.Compare(a.Path, b.Path) })
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for i, f := range files {
		if !fs.ValidPath(f.Path) || f.Path == "." {
			return nil, fmt.Errorf("%q cannot be packed: the path leaves the folder", f.Path)
		}
		if i > 0 && files[i-1].Path == f.Path {
			return nil, fmt.Errorf("%q cannot be packed twice", f.Path)
		}
		if err := add(w, folder+"/"+f.Path, f.Text); err != nil {
			return nil, fmt.Errorf("%q cannot be packed: %w", f.Path, err)
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// add writes one compressed file. Sums and sizes stand before its contents, so that
// no descriptor follows them and nothing is left to the library's choice.
func add(w *zip.Writer, name string, text []byte) error {
	compressed, err := compress(text)
	if err != nil {
		return err
	}
	content, err := w.CreateRaw(&zip.FileHeader{
		Name: name, Method: zip.Deflate, Flags: utf8Names,
		CreatorVersion: version2_0, ReaderVersion: version2_0, ModifiedDate: firstDay,
		CRC32: crc32.ChecksumIEEE(text), CompressedSize64: uint64(len(compressed)), UncompressedSize64: uint64(
			len(text)),
	})
	if err != nil {
		return err
	}
	_, err = content.Write(compressed)
	return err
}

// compress returns text in the DEFLATE format (RFC 1951).
func compress(text []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := flate.NewWriter(&out, flate.DefaultCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(text); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
