package bundle

import (
	"bytes"
	"compress/gzip"
	"io"
	"strings"
	"testing"
)

func TestFiles(t *testing.T) {
	files, err := Files()
	if !Built() {
		if err == nil || !strings.Contains(err.Error(), "make viewer") {
			t.Fatalf("without a built viewer Files gives %v", err)
		}
		t.Skip("the viewer is not built: run make viewer")
	}
	if err != nil || len(files) != len(Names) {
		t.Fatalf("Files gives %d files, %v; want %d", len(files), err, len(Names))
	}
	reader, err := gzip.NewReader(bytes.NewReader(files["soletrial.wasm.gz"]))
	if err != nil {
		t.Fatal(err)
	}
	wasm, err := io.ReadAll(reader)
	// WebAssembly core specification, 5.5.16: the magic number
	if err != nil || !bytes.HasPrefix(wasm, []byte("\x00asm")) {
		t.Errorf("soletrial.wasm.gz holds no WebAssembly: %v", err)
	}
	if !reader.ModTime.IsZero() || reader.Name != "" {
		t.Errorf("the gzip header holds a time or a name: %v, %q", reader.ModTime, reader.Name)
	}
	for name, text := range files {
		if strings.HasSuffix(name, ".js") && bytes.Contains(text, []byte("@VERSION@")) {
			t.Errorf("%s still holds a placeholder", name)
		}
	}
}
