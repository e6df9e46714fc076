package archive

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The heads of a small archive, byte for byte, as APPNOTE 4.3.7 and 4.4 lay them
// out. What stands between them is left to the compressor. Info-ZIP's unzip 6.0 and
// Python's zipfile read such an archive without complaint.
func TestLocalHeader(t *testing.T) {
	text := []byte("id\n1\n")
	got, err := Zip("d", []File{{Path: "ü.csv", Text: text}}, 1)
	if err != nil {
		t.Fatal(err)
	}
	// 2.0; names in UTF-8; deflated; 1 January 1980
	want := []byte("PK\x03\x04\x14\x00\x00\x08\x08\x00\x00\x00\x21\x00")
	want = binary.LittleEndian.AppendUint32(want, crc32.ChecksumIEEE(text))
	if len(got) < 30 || !bytes.Equal(got[:18], want) {
		t.Fatalf("the local header begins\n% x, want\n% x", got[:min(18, len(got))], want)
	}
	compressed, whole := binary.LittleEndian.Uint32(got[18:]), binary.LittleEndian.Uint32(got[22:])
	name := []byte("\x08\x00\x00\x00d/ü.csv") // length of the name, no extra field, the name
	if whole != uint32(len(text)) || !bytes.HasPrefix(got[26:], name) {
		t.Errorf("%d bytes uncompressed, and then % x", whole, got[26:40])
	}
	if next := got[26+len(name)+int(compressed):]; !bytes.HasPrefix(next, []byte("PK\x01\x02")) {
		t.Errorf("after the contents stands % x, want the central directory", next[:4])
	}
}

// CSV of a recording has few different characters: little more than a quarter of its size is
// what any compressor makes of it.
func TestArchiveIsCompressed(t *testing.T) {
	var text []byte
	for second := range 3600 {
		text = fmt.Appendf(text, "%d.000,%d.0,%d.%d\n", second, 250+second*second%17, 3, 80+second*second%23)
	}
	got, err := Zip("d", []File{{Path: "foot.csv", Text: text}}, 1)
	if err != nil || len(got) > len(text)*3/10 {
		t.Errorf("%d bytes of %d, %v", len(got), len(text), err)
	}
}

// Whatever goes in comes out again, by a reader that checks sums, in the order of
// the names and whatever order it was given in.
func TestReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := rapid.StringMatching(`[a-z][a-z0-9/_-]{0,8}[a-zé]\.csv`)
		contents := rapid.MapOfN(path, rapid.SliceOf(rapid.Byte()), 0, 8).Draw(t, "files")
		var files []File
		for path, text := range contents {
			if !strings.Contains(path, "//") {
				files = append(files, File{Path: path, Text: text})
			}
		}
		first, err := Zip("d", files, 1)
		if err != nil {
			t.Fatal(err)
		}
		slices.Reverse(files)
		if second, _ := Zip("d", files, 3); !bytes.Equal(first, second) {
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
	if day := time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC); !f.Modified.Equal(day) || len(f.Extra) != 0 ||
		f.ExternalAttrs != 0 {
		t.Fatalf("%s was made at %v, extra %x", f.Name, f.Modified, f.Extra)
	}
}

func TestRefuses(t *testing.T) {
	for path, want := range map[string]string{
		"../x": "leaves", "/x": "leaves", "a//b": "leaves", ".": "leaves", "same": "twice",
	} {
		got, err := Zip("d", []File{{Path: "same"}, {Path: path}}, 1)
		if err == nil || got != nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", path, err)
		}
	}
}
