package recording_test

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/recording"
)

func gzipped(t testing.TB, content []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err := w.Write(content); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func zipped(t testing.TB, names ...string) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, name := range names {
		f, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(name, "/") {
			continue
		}
		if _, err := f.Write([]byte("t,power\n0,280\n")); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestCompressedFilesAreOpened(t *testing.T) {
	table := []byte("t,power\n0,280\n1,281\n")
	for name, src := range map[string][]byte{
		"run.csv.gz": gzipped(t, table),
		"run.zip":    zipped(t, "day/", "day/run.csv", ".hidden"),
	} {
		imp := mustRead(t, name, src, recording.Options{})
		if imp.Format != "csv" || imp.Samples.Len() == 0 {
			t.Errorf("%s: %s with %d samples", name, imp.Format, imp.Samples.Len())
		}
	}
	files, err := recording.Unpack("day.zip", zipped(t, "a.csv", "b/c.csv"))
	if err != nil || len(files) != 2 || files[0].Name != "a.csv" || files[1].Name != "c.csv" {
		t.Errorf("%+v, %v", files, err)
	}
	files, err = recording.Unpack("a.csv", table)
	if err != nil || len(files) != 1 || files[0].Name != "a.csv" || !bytes.Equal(files[0].Content, table) {
		t.Errorf("a plain file: %+v, %v", files, err)
	}
}

func TestCompressedFilesThatCannotBeOpened(t *testing.T) {
	bomb := gzipped(t, make([]byte, recording.MaxBytes+1))
	for name, c := range map[string]struct {
		src  []byte
		want string
	}{
		"cut.fit.gz": {gzipped(t, []byte("t,power\n0,280\n"))[:20], "the compressed file is damaged or cut off"},
		"no.zip":     {[]byte("PK\x03\x04\x00\x00"), "the compressed file is damaged or cut off"},
		"empty.zip":  {zipped(t, "day/"), "the archive is empty"},
		"two.zip":    {zipped(t, "a.csv", "b.csv"), `the archive has several files: "a.csv", "b.csv"`},
		"run.xz":     {[]byte("\xfd7zXZ\x00 "), "the file is compressed with xz"},
		"many.zip": {zipped(t, slices.Repeat([]string{"a.csv"}, 1001)...),
			"the archive has 1001 files, more than the limit of 1000"},
		"bomb.gz": {bomb, "it has more than the limit of 200 MB"},
	} {
		_, err := recording.Read(name, c.src, recording.Options{})
		if err == nil || !strings.HasPrefix(err.Error(), name+": "+c.want) {
			t.Errorf("%s: %v, want %s", name, err, c.want)
		}
	}
}
