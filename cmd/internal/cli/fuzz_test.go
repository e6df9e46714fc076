package cli

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/pipeline/recording/fittest"
)

// importedNames are the names under which the bytes are imported.
var importedNames = []string{"run.fit", "run.gpx", "run.csv", "run.csv.gz", "run.zip"}

// importSeeds are bytes that import takes, by the place of their name.
func importSeeds(f *testing.F) map[int][][]byte {
	small := fittest.Spec{Blocks: 2, BlockS: 200, RestS: 60, NativePower: true}
	table := []byte("elapsed_s,power_w,speed_mps\n0,280,3.9\n1,281,3.9\n2,,4\n")
	laps := []byte("Lap,Time,Distance km,Avg Power,Contact\n1,5:00,1.21,268,231\n2,2:00,0.31,120,260\n" +
		"3,5:00,1.22,269,230\n")
	gpx := []byte(`<?xml version="1.0"?><gpx version="1.1"><trk><trkseg>` +
		`<trkpt lat="1" lon="1"><time>2026-05-01T10:00:00Z</time></trkpt>` +
		`<trkpt lat="1.0001" lon="1"><time>2026-05-01T10:00:03Z</time></trkpt></trkseg></trk></gpx>`)
	var gz, archive bytes.Buffer
	w := gzip.NewWriter(&gz)
	w.Write(table)
	w.Close()
	z := zip.NewWriter(&archive)
	for name, text := range map[string][]byte{"a.csv": table, "b.fit": fittest.Run(small)} {
		file, err := z.Create(name)
		if err != nil {
			f.Fatal(err)
		}
		file.Write(text)
	}
	z.Close()
	return map[int][][]byte{0: {fittest.Run(small)}, 1: {gpx}, 2: {table, laps}, 3: {gz.Bytes()}, 4: {archive.Bytes()}}
}

// Whatever bytes import takes, it writes what check reads, what tidy leaves as it is, and
// what derive makes tables of; with --json each says so in one JSON value.
func FuzzImportedDataset(f *testing.F) {
	for kind, seeds := range importSeeds(f) {
		for _, seed := range seeds {
			f.Add(uint8(kind), seed)
		}
	}
	f.Fuzz(func(t *testing.T, kind uint8, src []byte) {
		dir := t.TempDir()
		mine, file := filepath.Join(dir, "mine"), filepath.Join(dir, importedNames[int(kind)%len(importedNames)])
		if err := os.WriteFile(file, src, 0o666); err != nil {
			t.Fatal(err)
		}
		if code, out, stderr := jsonMain("init", mine); code != 0 {
			t.Fatalf("init: exit %d, %s%s", code, out, stderr)
		}
		code, out, stderr := jsonMain("-d", mine, "import", "-s", "2026-05-01-power", "--target", "280", file)
		if !json.Valid([]byte(out)) && out != "" {
			t.Fatalf("import prints no JSON: %q", out)
		}
		if code != 0 {
			if _, err := os.Stat(filepath.Join(mine, "sessions")); err == nil {
				t.Fatalf("import ends with %d and wrote: %s", code, stderr)
			}
			return
		}
		// What was written is read, canonical, and enough to derive from.
		for command, most := range map[string]int{"check": 1, "derive": 0} {
			if code, out, stderr := jsonMain("-d", mine, command); code > most || !json.Valid([]byte(out)) {
				t.Fatalf("%s: exit %d, %q, %s", command, code, out, stderr)
			}
		}
		if code, out, stderr := jsonMain("-d", mine, "tidy", "--dry-run"); code != 0 {
			t.Fatalf("tidy: exit %d, %q, %s", code, out, stderr)
		}
	})
}

// jsonMain runs the program with --json.
func jsonMain(args ...string) (code int, out, stderr string) {
	var stdout, complaints bytes.Buffer
	code = Main(append([]string{"--json"}, args...), strings.NewReader(""), &stdout, &complaints)
	return code, stdout.String(), complaints.String()
}
