package cli

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
)

// What one change costs: the sessions it bears on are derived anew, and no other.
func TestOnlyWhatDependsOnAChangeIsDerivedAnew(t *testing.T) {
	const n = 6
	w := newWorld(t, small(n))
	edit := func(path, old, now string) func() {
		return func() {
			if !strings.Contains(w.files[path], old) {
				t.Fatalf("%s does not hold %q", path, old)
			}
			w.files[path] = strings.Replace(w.files[path], old, now, 1)
		}
	}
	for _, c := range []struct {
		what           string
		change         func()
		sessions, rows int64
	}{
		{"at first", func() {}, n, n},
		{"no change", func() {}, 0, 0},
		{"the words of dataset.yaml", edit("dataset.yaml", "title: small", "title: Small"), 0, 0},
		{"a recording", func() { addSession(w.files, 2, 1) }, 1, 1},
		{"and back", func() { addSession(w.files, 2, 0) }, 0, 0},
		{"a note on a session", edit(sessionFolder(1)+"session.yaml", "target: 250\n", "target: 250\nnotes: windy\n"), 1, 0},
		{"a block left out", func() {
			w.files[sessionFolder(3)+"blocks.csv"] = "block,shoe,start_s,end_s,include,reason\n1,a,0,300,no,stumbled\n2,b,400,700,,\n3,b,800,1100,,\n4,a,1200,1500,,\n"
		}, 1, 1},
		{"a new session", func() { addSession(w.files, n, 0) }, 1, 1},
		{"one session less", func() {
			maps.DeleteFunc(w.files, func(path, _ string) bool { return strings.HasPrefix(path, sessionFolder(n)) })
		}, 0, 0},
		{"a register", edit("runners.csv", "67", "68"), n, n},
		{"the mass of a shoe", edit("shoes.csv", "225", "226"), n, 0},
		{"the trim", edit("dataset.yaml", "reference: a", "reference: a\n  trim: {head_s: 90}"), n, n},
		{"the reference shoe", edit("dataset.yaml", "reference: a", "reference: b"), n, n},
		{"another program", func() { w.program = "two" }, n, n},
		{"the program before", func() { w.program = "one" }, 0, 0},
	} {
		c.change()
		w.write(t)
		sessions, rows := w.derived(t)
		if sessions != c.sessions || rows != c.rows {
			t.Errorf("%s: %d sessions and the rows of %d were derived anew, want %d and %d", c.what, sessions, rows, c.sessions, c.rows)
		}
	}
}

// A run without a change makes nothing of the files it has summed; a table that
// somebody touched is mended all the same.
func TestNoChangeIsSettled(t *testing.T) {
	w := newWorld(t, small(3))
	w.derived(t)
	d := w.begin(t)
	if !d.settled() || d.recall.anew.Load() > 0 || len(d.recall.reading) > 0 {
		t.Error("a run without a change is not settled")
	}
	for name, touch := range map[string]func(path string) error{
		"blocks.csv":   func(path string) error { return os.WriteFile(path, []byte("touched\n"), 0o666) },
		"sessions.csv": os.Remove,
	} {
		if err := touch(filepath.Join(w.dir, derivedFolder, name)); err != nil {
			t.Fatal(err)
		}
		if w.begin(t).settled() {
			t.Errorf("%s was touched, and the run is settled", name)
		}
		if sessions, _ := w.derived(t); sessions != 0 {
			t.Errorf("%d sessions were derived anew to mend a table", sessions)
		}
	}
}

// Bytes count, not times: a file that is changed and keeps its size and its time is
// seen.
func TestSameSizeAndTime(t *testing.T) {
	w := newWorld(t, small(2))
	w.derived(t)
	path := filepath.Join(w.dir, sessionFolder(0), "pod.csv")
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	addSession(w.files, 0, 1)
	w.write(t)
	if err := os.Chtimes(path, info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	if now, err := os.Stat(path); err != nil || now.Size() != info.Size() || !now.ModTime().Equal(info.ModTime()) {
		t.Fatal("the change shows in size or time; the test tests nothing")
	}
	if sessions, _ := w.derived(t); sessions != 1 {
		t.Errorf("%d sessions derived anew, want 1", sessions)
	}
}

// Whatever becomes of the cache, and whoever changes what, with one worker or
// several, the tables are those of a plain derivation.
func TestCacheChangesNoByte(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	rapid.Check(t, func(t *rapid.T) {
		root, err := os.MkdirTemp("", "soletrial-test-")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(root)
		w := &world{dir: filepath.Join(root, "data"), cache: filepath.Join(root, "cache"), files: small(3), program: "one"}
		kept := w.cache
		for range rapid.IntRange(2, 5).Draw(t, "runs") {
			runtime.GOMAXPROCS(rapid.IntRange(1, 3).Draw(t, "processors"))
			w.cache = kept
			switch i := rapid.IntRange(0, 4).Draw(t, "session"); rapid.SampledFrom([]string{"change", "drop", "method", "off", "nothing"}).Draw(t, "event") {
			case "change":
				addSession(w.files, i, rapid.IntRange(0, 2).Draw(t, "version"))
			case "drop":
				maps.DeleteFunc(w.files, func(path, _ string) bool { return strings.HasPrefix(path, sessionFolder(i)) })
			case "method":
				w.files["dataset.yaml"] = fmt.Sprintf("title: small\ninvented: true\nmethod:\n  trim: {head_s: %d}\n", 30+i)
			case "off":
				w.cache = cacheOff
			}
			w.write(t)
			for _, path := range w.entries() {
				switch rapid.IntRange(0, 5).Draw(t, "damage") {
				case 0:
					os.Remove(path)
				case 1:
					text, _ := os.ReadFile(path)
					if len(text) > 0 {
						text[rapid.IntRange(0, len(text)-1).Draw(t, "at")] ^= 0x10
						os.WriteFile(path, text, 0o600)
					}
				case 2:
					os.Truncate(path, int64(rapid.IntRange(0, 40).Draw(t, "length")))
				}
			}
			w.hold(t, w.begin(t))
		}
	})
}

// The cache may go at any moment, also after everything was found to be as it was.
func TestCacheDeletedHalfWay(t *testing.T) {
	w := newWorld(t, small(4))
	w.derived(t)
	addSession(w.files, 0, 1)
	w.write(t)
	d := w.begin(t)
	if err := os.RemoveAll(w.cache); err != nil {
		t.Fatal(err)
	}
	w.hold(t, d)
}

// Damaged entries are found anew and replaced, so that the next run finds them.
func TestDamagedEntriesAreReplaced(t *testing.T) {
	w := newWorld(t, small(3))
	w.derived(t)
	for _, path := range w.entries() {
		if err := os.Truncate(path, 20); err != nil {
			t.Fatal(err)
		}
	}
	if sessions, rows := w.derived(t); sessions != 3 || rows != 3 {
		t.Errorf("%d sessions and the rows of %d derived anew, want 3 and 3", sessions, rows)
	}
	addSession(w.files, 0, 1)
	w.write(t)
	if sessions, rows := w.derived(t); sessions != 1 || rows != 1 {
		t.Errorf("after they were replaced: %d sessions and the rows of %d derived anew, want 1 and 1", sessions, rows)
	}
}

// All problems come in one run and in one order, whether sessions are remembered or
// not, by one worker or several.
func TestProblemsInOneOrder(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	w := newWorld(t, small(5))
	w.derived(t)
	w.files[sessionFolder(3)+"pod.csv"] += "1600,x,3,170\n"
	w.files[sessionFolder(1)+"pod.csv"] += "1600,1,3,y\n1610,z,3,170\n"
	w.files[sessionFolder(2)+"blocks.csv"] += "5,c,1600,1800\n"
	w.files[sessionFolder(0)+"blocks.csv"] += "5,c,1600,1500\n"
	w.write(t)
	var orders []string
	for _, where := range []string{w.cache, cacheOff} {
		for _, processors := range []int{1, 3} {
			runtime.GOMAXPROCS(processors)
			w.cache = where
			d := w.begin(t)
			_, err := d.result(derive.Tables)
			f, is := err.(*voice.Failure)
			if !is {
				t.Fatalf("no problems: %v", err)
			}
			var at []string
			for _, p := range f.Problems {
				at = append(at, p.At.String())
			}
			orders = append(orders, strings.Join(at, " "))
		}
	}
	want := "sessions/2026-03-01/blocks.csv:6:3 sessions/2026-03-01/blocks.csv:6:10 sessions/2026-03-03/blocks.csv:6:3 sessions/2026-03-02/pod.csv:153:10 sessions/2026-03-02/pod.csv:154:6 sessions/2026-03-04/pod.csv:153:6"
	if orders[0] != want || len(slices.Compact(orders)) > 1 {
		t.Errorf("problems at\n%s\nwant\n%s", strings.Join(orders, "\n"), want)
	}
	if _, err := os.Stat(filepath.Join(w.dir, derivedFolder)); err != nil {
		t.Error("the tables of before are gone")
	}
}

// What commands ask for is the same in all amounts.
func TestAnswersAreThoseOfTheTables(t *testing.T) {
	w := newWorld(t, small(3))
	var results []*derive.Result
	for _, want := range []derive.Want{derive.Everything, derive.Tables, derive.Answers} {
		result, err := w.begin(t).result(want)
		if err != nil {
			t.Fatal(err)
		}
		results = append(results, result)
	}
	all, tables, answers := results[0], results[1], results[2]
	for i := range all.Tables {
		if !bytes.Equal(all.Tables[i].Text, tables.Tables[i].Whole()) {
			t.Errorf("%s differs", all.Tables[i].Name)
		}
	}
	if len(all.Compare.Sessions) == 0 || len(tables.Compare.Sessions)+len(answers.Compare.Sessions)+len(answers.Tables) > 0 {
		t.Error("more or less is there than was wanted")
	}
	if a, b := fmt.Sprintf("%+v", all.Compare.Comparisons), fmt.Sprintf("%+v", answers.Compare.Comparisons); a != b {
		t.Error("the comparisons differ")
	}
}

// What comes of a dataset that changed meanwhile is neither used nor remembered.
func TestAResultOfWhatChangedIsNotKept(t *testing.T) {
	w := newWorld(t, small(3))
	w.derived(t)
	for _, path := range []string{"sessions/2026-03-02/session.yaml", "dataset.yaml"} {
		full := filepath.Join(w.dir, filepath.FromSlash(path))
		text, err := os.ReadFile(full)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, append(slices.Clip(text), "# noted\n"...), 0o666); err != nil {
			t.Fatal(err)
		}
		d := w.begin(t)
		result, err := d.result(derive.Answers)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, text, 0o666); err != nil {
			t.Fatal(err)
		}
		if err := d.keepIfStill(result); err == nil || !strings.Contains(err.Error(), path) || !strings.Contains(err.Error(), "changed while it was read") {
			t.Errorf("%s: told %v", path, err)
		}
		d.close()
		if again := w.begin(t); !again.settled() {
			t.Errorf("%s: the run that read what is gone left a trace", path)
		}
	}
}
