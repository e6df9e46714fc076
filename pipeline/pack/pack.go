// Package pack puts files into one zip archive whose bytes follow from the names
// and the contents alone.
//
// Its opinions: the same files give the same archive on every machine, today and
// with the next compiler, so that its hash can be published. Therefore the order
// is that of the names, the time is the first that the format knows, nothing
// tells what system it was made on, and the contents are stored as they are: what
// a compressor makes of them changes from version to version. A larger archive is
// the price.
package pack

import (
	"archive/zip"
	"bytes"
	"cmp"
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
	version2_0 = 20       // what a reader needs for folders and stored files
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

// add writes a file with everything about it in front of it, so that no
// descriptor follows its contents and nothing is left to the library's choice.
func add(w *zip.Writer, name string, text []byte) error {
	to, err := w.CreateRaw(&zip.FileHeader{
		Name: name, Method: zip.Store, Flags: utf8Names, CreatorVersion: version2_0, ReaderVersion: version2_0, ModifiedDate: firstDay,
		CRC32: crc32.ChecksumIEEE(text), CompressedSize64: uint64(len(text)), UncompressedSize64: uint64(len(text)),
	})
	if err != nil {
		return err
	}
	_, err = to.Write(text)
	return err
}
