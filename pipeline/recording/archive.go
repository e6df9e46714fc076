package recording

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"path"
	"strings"
)

// Packed is a file out of an archive.
type Packed struct {
	Name    string
	Content []byte
}

// maxPacked is how many files an archive may hold; those of a session are a few.
const maxPacked = 1000

// Unpack returns the files in src: of a gzip file (RFC 1952) the one that it
// holds, of a ZIP file (APPNOTE 6.3.10) every file that is not hidden, else src
// itself under its own name. Together they may have [MaxBytes]. Every error is an
// [*Error].
func Unpack(name string, src []byte) ([]Packed, error) {
	switch {
	case bytes.HasPrefix(src, []byte("\x1f\x8b")):
		return unpackGzip(name, src)
	case bytes.HasPrefix(src, []byte("PK\x03\x04")):
		return unpackZip(name, src)
	}
	for mark, kind := range map[string]string{"\xfd7zXZ\x00": "xz", "BZh": "bzip2", "\x28\xb5\x2f\xfd": "Zstandard"} {
		if bytes.HasPrefix(src, []byte(mark)) {
			return nil, &Error{File: name, Message: "the file is compressed with " + kind,
				Hint: "unpack it first; of compressed files only .gz and .zip are opened"}
		}
	}
	return []Packed{{name, src}}, nil
}

func unpackGzip(name string, src []byte) ([]Packed, error) {
	open := func() (io.Reader, error) { return gzip.NewReader(bytes.NewReader(src)) }
	content, err := readBounded(name, open, MaxBytes)
	if err != nil {
		return nil, err
	}
	return []Packed{{strings.TrimSuffix(name, path.Ext(name)), content}}, nil
}

func unpackZip(name string, src []byte) ([]Packed, error) {
	archive, err := zip.NewReader(bytes.NewReader(src), int64(len(src)))
	if err != nil {
		return nil, damagedArchive(name)
	}
	if len(archive.File) > maxPacked {
		return nil, &Error{File: name, Hint: "pack the files of one session only", Message: fmt.Sprintf(
			"the archive has %d files, more than the limit of %d", len(archive.File), maxPacked)}
	}
	// No more bytes than one recording may have, however far they were packed.
	var files []Packed
	left := MaxBytes
	for _, entry := range archive.File {
		base := path.Base(entry.Name)
		if entry.FileInfo().IsDir() || strings.HasPrefix(base, ".") || strings.HasPrefix(entry.Name, "__MACOSX/") {
			continue
		}
		open := func() (io.Reader, error) { return entry.Open() }
		content, err := readBounded(name, open, left)
		if err != nil {
			return nil, err
		}
		files, left = append(files, Packed{base, content}), left-len(content)
	}
	if len(files) == 0 {
		return nil, &Error{File: name, Message: "the archive is empty", Hint: "export it again"}
	}
	return files, nil
}

// readBounded reads what is packed, but no more than most bytes of it. It unpacks
// twice, the first time to count: a buffer that grows would take several times the
// memory, and what an archive says of lengths is not to be trusted.
func readBounded(name string, open func() (io.Reader, error), most int) ([]byte, error) {
	in, err := open()
	if err != nil {
		return nil, damagedArchive(name)
	}
	size, err := io.Copy(io.Discard, io.LimitReader(in, int64(most)+1))
	if err != nil {
		return nil, damagedArchive(name)
	}
	if size > int64(most) {
		return nil, tooLarge(name)
	}
	content := make([]byte, size)
	if in, err = open(); err == nil {
		_, err = io.ReadFull(in, content)
	}
	if err != nil {
		return nil, damagedArchive(name)
	}
	return content, nil
}

func damagedArchive(name string) *Error {
	return &Error{
		File:    name,
		Message: "the compressed file is damaged or cut off",
		Hint:    "export it again, or unpack it first",
	}
}

func tooLarge(name string) *Error {
	return &Error{File: name, Message: fmt.Sprintf("it has more than the limit of %d MB", MaxBytes>>20),
		Hint: "cut it into sessions first"}
}
