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
	in, err := gzip.NewReader(bytes.NewReader(src))
	if err != nil {
		return nil, damagedArchive(name)
	}
	content, err := readBounded(name, in, MaxBytes)
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
	var files []Packed
	left := MaxBytes
	for _, entry := range archive.File {
		base := path.Base(entry.Name)
		if entry.FileInfo().IsDir() || strings.HasPrefix(base, ".") || strings.HasPrefix(entry.Name, "__MACOSX/") {
			continue
		}
		in, err := entry.Open()
		if err != nil {
			return nil, damagedArchive(name)
		}
		content, err := readBounded(name, in, left)
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

// readBounded reads what is packed, but no more than most bytes of it.
func readBounded(name string, in io.Reader, most int) ([]byte, error) {
	content, err := io.ReadAll(io.LimitReader(in, int64(most)+1))
	if err != nil {
		return nil, damagedArchive(name)
	}
	if len(content) > most {
		return nil, tooLarge(name)
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
	return &Error{File: name, Message: fmt.Sprintf("it holds more than the %d MB that are read", MaxBytes>>20),
		Hint: "cut it into sessions first"}
}
