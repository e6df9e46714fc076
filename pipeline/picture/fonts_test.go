package picture

import (
	"bytes"
	"compress/gzip"
	"flag"
	"os"
	"testing"

	"github.com/go-fonts/dejavu/dejavusans"
	"github.com/go-fonts/dejavu/dejavusansbold"
)

var update = flag.Bool("update", false, "write the compressed fonts anew")

// The fonts inside are byte for byte those of the module that DEPENDENCIES.md names.
func TestFontsAreThoseOfTheModule(t *testing.T) {
	for w, want := range [][]byte{regular: dejavusans.TTF, bold: dejavusansbold.TTF} {
		if *update {
			if err := os.WriteFile(fontNames[w], packedFont(t, want), 0o644); err != nil {
				t.Fatal(err)
			}
			continue // what is embedded is still the old file
		}
		got, err := unpackFont(weight(w))
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s holds %d bytes, the module %d, and they differ (%v): run this with -update", fontNames[w],
				len(got), len(want), err)
		}
	}
}

// packedFont is a font in as few bytes as gzip makes of it.
func packedFont(t *testing.T, ttf []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(ttf); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
