package pack

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The bytes of a small archive, pinned: they may not change with the compiler or
// the library. Python's zipfile (zlib's CRC-32) reads it and finds no
// error; so does Info-ZIP's unzip 6.0.
func TestPinnedBytes(t *testing.T) {
	got, err := Zip("dataset", []File{{"b.csv", []byte("id\n1\n")}, {"a/ü.txt", []byte("x")}})
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(got)
	if hash := hex.EncodeToString(sum[:]); hash != "d1108edbd8738f12b11d10cf67f5a698afced7eceed5f7acf066e36c08289904" || len(got) != 238 {
		t.Errorf("%d bytes, %s", len(got), hash)
	}
}

// Whatever goes in comes out again, by a reader that checks sums, in the order of
// the names and whatever order it was given in.
func TestReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		contents := rapid.MapOfN(rapid.StringMatching(`[a-z][a-z0-9/_-]{0,8}[a-zé]\.csv`), rapid.SliceOf(rapid.Byte()), 0, 8).Draw(t, "files")
		var files []File
		for path, text := range contents {
			if !strings.Contains(path, "//") {
				files = append(files, File{path, text})
			}
		}
		first, err := Zip("d", files)
		if err != nil {
			t.Fatal(err)
		}
		slices.Reverse(files)
		if second, _ := Zip("d", files); !bytes.Equal(first, second) {
			t.Fatal("the order of the files shows")
		}
		r, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
		if err != nil || len(r.File) != len(files) {
			t.Fatalf("%v, %d files of %d", err, len(r.File), len(files))
		}
		for i, f := range r.File {
			if i > 0 && r.File[i-1].Name >= f.Name {
				t.Fatalf("%q stands after %q", f.Name, r.File[i-1].Name)
			}
			check(t, f, contents[strings.TrimPrefix(f.Name, "d/")])
		}
	})
}

func check(t *rapid.T, f *zip.File, want []byte) {
	opened, err := f.Open()
	if err != nil {
		t.Fatal(err)
	}
	got, err := io.ReadAll(opened)
	if err != nil || !bytes.Equal(got, want) {
		t.Fatalf("%s: %v, %d bytes of %d", f.Name, err, len(got), len(want))
	}
	if day := time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC); !f.Modified.Equal(day) || len(f.Extra) != 0 || f.ExternalAttrs != 0 {
		t.Fatalf("%s was made at %v, extra %x", f.Name, f.Modified, f.Extra)
	}
}

func TestRefuses(t *testing.T) {
	for path, want := range map[string]string{"../x": "leaves", "/x": "leaves", "a//b": "leaves", ".": "leaves", "same": "twice"} {
		got, err := Zip("d", []File{{"same", nil}, {path, nil}})
		if err == nil || got != nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", path, err)
		}
	}
}
