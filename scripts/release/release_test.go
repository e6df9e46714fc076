package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"testing"
	"time"
)

var (
	someDay   = time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC)
	someFiles = []file{{"soletrial", []byte("program"), 0o755}, {"man/man1/soletrial.1", []byte(".TH"), 0o644},
		{"LICENSE", bytes.Repeat([]byte("free "), 1000), 0o644}}
)

// packed packs the same files twice, the second time in another order, and wants the same
// bytes.
func packed(t *testing.T, system string) []byte {
	t.Helper()
	r := release{date: someDay}
	one, err := r.pack("soletrial_1", system, someFiles)
	if err != nil {
		t.Fatal(err)
	}
	turned := slices.Clone(someFiles)
	slices.Reverse(turned)
	two, err := r.pack("soletrial_1", system, turned)
	if err != nil || !bytes.Equal(one.text, two.text) {
		t.Errorf("%s: the order of the files changes the archive (%v)", system, err)
	}
	return one.text
}

func TestTarHoldsTheFiles(t *testing.T) {
	zipped, err := gzip.NewReader(bytes.NewReader(packed(t, "linux/amd64")))
	if err != nil {
		t.Fatal(err)
	}
	if !zipped.ModTime.IsZero() || zipped.Name != "" {
		t.Errorf("the gzip header holds a time or a name: %v, %q", zipped.ModTime, zipped.Name)
	}
	r := tar.NewReader(zipped)
	found := 0
	for {
		header, err := r.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		found++
		for _, f := range someFiles {
			if header.Name != "soletrial_1/"+f.path {
				continue
			}
			if !bytes.Equal(text, f.text) || header.FileInfo().Mode() != f.mode ||
				!header.ModTime.Equal(someDay) || header.Uname != "" || header.Uid != 0 {
				t.Errorf("%s: %d bytes, header %+v", f.path, len(text), header)
			}
		}
	}
	if found != len(someFiles) {
		t.Errorf("%d files, want %d", found, len(someFiles))
	}
}

func TestZipHoldsTheFiles(t *testing.T) {
	text := packed(t, "windows/amd64")
	r, err := zip.NewReader(bytes.NewReader(text), int64(len(text)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range someFiles {
		got, err := fs.ReadFile(r, "soletrial_1/"+f.path)
		if err != nil || !bytes.Equal(got, f.text) {
			t.Errorf("%s: %d bytes, %v", f.path, len(got), err)
		}
	}
	if len(r.File) != len(someFiles) {
		t.Errorf("%d files, want %d", len(r.File), len(someFiles))
	}
}

func TestVersionIsFoundWhereTheProgramHasIt(t *testing.T) {
	t.Chdir("../..")
	version, err := programVersion()
	if err != nil || !regexp.MustCompile(`^\d+\.\d+\.\d+$`).MatchString(version) {
		t.Errorf("the version is %q, %v", version, err)
	}
}

func TestDateComesFromTheEnvironment(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "1796040000") // 2026-11-30 12:00 UTC, by date -u -d @1796040000
	if date, err := commitDate(); err != nil || !date.Equal(someDay) {
		t.Errorf("the date is %v, %v", date, err)
	}
	t.Setenv("SOURCE_DATE_EPOCH", "today")
	if _, err := commitDate(); err == nil {
		t.Error("a date that is no number passes")
	}
}

// What is there is never written over, and an unknown system is refused before anything is
// built.
func TestReleaseRefuses(t *testing.T) {
	t.Chdir("../..")
	folder := t.TempDir()
	if err := run(folder, "plan9/mips", nil); err == nil {
		t.Error("a release for a system that there is none for passes")
	}
	if err := os.WriteFile(folder+"/mine", nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := run(folder, "linux/amd64", nil); err == nil {
		t.Error("a release into a folder that holds something passes")
	}
}

// The page of soletrial-export goes with it and with nothing else, and either program has the
// licences of what is in it, README and LICENSE.
func TestEveryProductHasItsOwnTexts(t *testing.T) {
	t.Chdir("../..")
	manual := []file{{"man/man1/soletrial.1", []byte("one"), 0o644}, {exportPage, []byte("two"), 0o644},
		{"completions/soletrial.fish", []byte("three"), 0o644}}
	want := map[string][]string{
		"soletrial": {"CHANGELOG.md", "LICENSE", "README.md", "completions/soletrial.fish", "licences.txt",
			"man/man1/soletrial.1", "output.schema.json"},
		"soletrial-export": {"CHANGELOG.md", "LICENSE", "README.md", "licences.txt", exportPage},
	}
	for _, p := range products {
		files, err := p.files(manual)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, f := range files {
			names = append(names, f.path)
			if f.path == "licences.txt" && !bytes.Contains(f.text, []byte("program "+p.name+" holds")) {
				t.Errorf("%s carries the licences of another program: %.80s", p.name, f.text)
			}
		}
		slices.Sort(names)
		if !slices.Equal(names, want[p.name]) {
			t.Errorf("%s carries %q, want %q", p.name, names, want[p.name])
		}
	}
}
