package cli

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/cmd/internal/cache"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// small is an invented dataset: sessions of two shoes in four blocks, with one
// recording at a sample every ten seconds.
func small(sessions int) map[string]string {
	files := map[string]string{
		"dataset.yaml": "title: small\ninvented: true\nmethod:\n  reference: a\n",
		"runners.csv":  "id,label,mass_kg\nr,Runner (invented),67\n",
		"shoes.csv":    "id,label,mass_g\na,Alder (invented),240\nb,Birch (invented),225\n",
		"venues.csv":   "id,label,kind\nv,Loop (invented),road\n",
	}
	for i := range sessions {
		addSession(files, i, 0)
	}
	return files
}

func sessionFolder(i int) string { return fmt.Sprintf("sessions/2026-03-%02d/", i+1) }

// addSession puts session i into the files; its numbers follow from i and version.
func addSession(files map[string]string, i, version int) {
	folder := sessionFolder(i)
	files[folder+"session.yaml"] = fmt.Sprintf("date: 2026-03-%02d\nvenue: v\neffort: power\ntarget: 250\nrecordings: [{file: pod.csv, device: pod}]\n", i+1)
	files[folder+"blocks.csv"] = "block,shoe,start_s,end_s\n1,a,0,300\n2,b,400,700\n3,b,800,1100\n4,a,1200,1500\n"
	var pod strings.Builder
	pod.WriteString("elapsed_s,power_w,speed_mps,cadence_spm\n")
	for k := range 151 {
		fmt.Fprintf(&pod, "%d,%d,%d.%03d,%d\n", 10*k, 247+(k*7+i)%7, 3+(k/40)%2, (k*37+i*11+version*5)%90+700-600*((k/40)%2), 176+(k*3+i)%5)
	}
	files[folder+"pod.csv"] = pod.String()
}

// world is a dataset on disk, and a cache.
type world struct {
	dir, cache string
	files      map[string]string // of the dataset, as they should be
	program    string            // which program runs
}

func newWorld(t testing.TB, files map[string]string) *world {
	t.Helper()
	dir := t.TempDir()
	w := &world{dir: filepath.Join(dir, "data"), cache: filepath.Join(dir, "cache"), files: files, program: "one"}
	w.write(t)
	return w
}

// fataler is what testing and rapid have in common.
type fataler interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

// write brings the disk up to date with the files.
func (w *world) write(t fataler) {
	t.Helper()
	os.RemoveAll(filepath.Join(w.dir, "sessions"))
	for path, text := range w.files {
		full := filepath.Join(w.dir, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

func (w *world) app() *app {
	return &app{Console: voice.Console{Out: io.Discard, Err: io.Discard, Dataset: w.dir}, cache: w.cache, program: func(c *cache.Cache) (cache.Sum, error) {
		return c.Name("program", []byte(w.program)), nil
	}}
}

// begin looks at the dataset with the cache.
func (w *world) begin(t fataler) *deriving {
	t.Helper()
	d, err := w.app().beginDeriving()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// derived derives with the cache, writes the tables, and tells how many sessions
// and how many sessions' rows were not remembered.
func (w *world) derived(t fataler) (sessions, rows int64) {
	t.Helper()
	d := w.begin(t)
	if d.settled() {
		w.checkTables(t)
		return 0, 0
	}
	result, err := d.result(derive.Tables)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := writeFiles(w.dir, tableContents(result.Tables), anyway); err != nil {
		t.Fatal(err)
	}
	d.keep(result)
	d.close()
	w.checkTables(t)
	if d.recall == nil {
		return int64(len(result.Sessions)), int64(len(result.Sessions))
	}
	return d.recall.anew.Load(), d.recall.anewRows.Load()
}

// hold holds the tables of a derivation against those of a plain one.
func (w *world) hold(t fataler, d *deriving) {
	t.Helper()
	result, err := d.result(derive.Tables)
	if err != nil {
		t.Fatal(err)
	}
	want := plain(t, w.dir)
	for _, table := range result.Tables {
		if got := table.Whole(); !bytes.Equal(got, want[table.Name]) {
			t.Fatalf("%s differs from that of a plain derivation:\n%s\nwant\n%s", table.Name, got, want[table.Name])
		}
	}
	d.keep(result)
	d.close()
}

// plain derives from the files by themselves: one worker who remembers nothing.
func plain(t fataler, dir string) map[string][]byte {
	t.Helper()
	folder, problems := plaintext.Open(os.DirFS(dir), yamltext.Read, 1)
	result, problems, err := derive.Run(folder, problems, derive.Means{})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	tables := map[string][]byte{}
	for _, table := range result.Tables {
		tables[table.Name] = table.Text
	}
	return tables
}

// checkTables holds the tables on disk against those of a plain derivation.
func (w *world) checkTables(t fataler) {
	t.Helper()
	for name, want := range plain(t, w.dir) {
		if got, err := os.ReadFile(filepath.Join(w.dir, derivedFolder, name)); err != nil || !bytes.Equal(got, want) {
			t.Fatalf("%s differs from that of a plain derivation (%v):\n%s\nwant\n%s", name, err, got, want)
		}
	}
}

// entries lists the files of the cache, but for its key.
func (w *world) entries() []string {
	var list []string
	filepath.WalkDir(w.cache, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && d.Name() != "key" {
			list = append(list, path)
		}
		return nil
	})
	return list
}
