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
	"sync"

	"soletrial/pipeline/parallel"
	"soletrial/pipeline/stable"
)

// File is one file to be packed under a slash-separated path.
type File struct {
	Path string
	Text []byte
	// Read reads the text of a file that is not in memory; nil where Text is it. Several
	// goroutines may call it.
	Read func() ([]byte, error)
	Size int // of the text, 0 where it is not known; nothing but room for the archive rests on it
}

const (
	firstDay   = 1<<5 | 1 // 1 January 1980, where the format's dates begin (APPNOTE 4.4.6)
	utf8Names  = 0x800    // general purpose flag bit 11
	version2_0 = 20       // what a reader needs for folders and compressed files
)

// Zip returns the archive of the files, all of them in one folder, compressed by at most so
// many workers at a time. It fails when two files have one path, a path leaves the folder, or
// one cannot be read.
func Zip(folder string, files []File, workers int) ([]byte, error) {
	// In the order of their paths.
	files = slices.Clone(files)
	stable.Sort(files, func(a, b File) int { return cmp.Compare(a.Path, b.Path) })
	for i, f := range files {
		if !fs.ValidPath(f.Path) || f.Path == "." {
			return nil, fmt.Errorf("%q cannot be packed: the path leaves the folder", f.Path)
		}
		if i > 0 && files[i-1].Path == f.Path {
			return nil, fmt.Errorf("%q cannot be packed twice", f.Path)
		}
	}
	// A few at a time, so that what waits to be written stays small.
	var out bytes.Buffer
	out.Grow(expected(files))
	w := zip.NewWriter(&out)
	for some := range slices.Chunk(files, atATime) {
		packed := parallel.Map(workers, len(some), func(i int) entry { return pack(some[i]) })
		for i, p := range packed {
			if p.err == nil {
				p.err = p.write(w, folder+"/"+some[i].Path)
			}
			if p.err != nil {
				return nil, fmt.Errorf("%q cannot be packed: %w", some[i].Path, p.err)
			}
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// expected is about how large the archive becomes, not too small for recordings: to grow a large
// one takes twice its room.
func expected(files []File) int {
	texts := 0
	for _, f := range files {
		texts += max(f.Size, len(f.Text))
	}
	return 2*texts/5 + 300*len(files)
}

// atATime is how many files are compressed before they are written.
const atATime = 64

// entry is one compressed file.
type entry struct {
	compressed []byte
	size       int
	sum        uint32
	err        error
}

// pack reads and compresses a file.
func pack(f File) (e entry) {
	text := f.Text
	if f.Read != nil {
		if text, e.err = f.Read(); e.err != nil {
			return e
		}
	}
	e.size, e.sum = len(text), crc32.ChecksumIEEE(text)
	e.compressed, e.err = compress(text)
	return e
}

// write adds the file to an archive. Sums and sizes stand before its contents, so that
// no descriptor follows them and nothing is left to the library's choice.
func (e *entry) write(w *zip.Writer, name string) error {
	content, err := w.CreateRaw(&zip.FileHeader{
		Name: name, Method: zip.Deflate, Flags: utf8Names,
		CreatorVersion: version2_0, ReaderVersion: version2_0, ModifiedDate: firstDay,
		CRC32: e.sum, CompressedSize64: uint64(len(e.compressed)), UncompressedSize64: uint64(e.size),
	})
	if err != nil {
		return err
	}
	_, err = content.Write(e.compressed)
	return err
}

// compressors are kept for the next file: a new one takes longer than most files do. At the fastest
// level recordings are a tenth larger than at the next and take two thirds of the time, and an archive
// of thousands of sessions is much of what publishing takes.
var compressors = sync.Pool{New: func() any {
	w, err := flate.NewWriter(nil, flate.BestSpeed)
	if err != nil {
		panic(err) // the level is one of flate's own
	}
	return w
}}

// compress returns text in the DEFLATE format (RFC 1951).
func compress(text []byte) ([]byte, error) {
	var out bytes.Buffer
	w := compressors.Get().(*flate.Writer)
	defer compressors.Put(w)
	w.Reset(&out)
	if _, err := w.Write(text); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
