package derive_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// anyLab draws a laboratory of one to three sessions in which every shoe among A,
// B and C is run twice and the order lets a drift be told from the shoes.
func anyLab(t *rapid.T) lab {
	orders := []string{"ABBA", "ABCCBA", "BAAB", "ABAB", "CABBAC", "ABBAAB"}
	var l lab
	for range rapid.IntRange(1, 3).Draw(t, "sessions") {
		order := rapid.SampledFrom(orders).Draw(t, "order")
		speeds := make([]float64, len(order))
		for i := range speeds {
			speeds[i] = float64(rapid.IntRange(3800, 4200).Draw(t, "mm/s")) / 1000
		}
		l.sessions = append(l.sessions, labSession{blocks: worn(order, speeds...)})
	}
	return l
}

// change returns a copy of the laboratory with every block changed; hours is the
// block's midpoint on the session's clock.
func (l lab) change(change func(b *labBlock, hours float64)) lab {
	changed := lab{method: l.method}
	for _, s := range l.sessions {
		s.blocks = slices.Clone(s.blocks)
		for i := range s.blocks {
			change(&s.blocks[i], (400*float64(i)+150)/3600)
		}
		changed.sessions = append(changed.sessions, s)
	}
	return changed
}

// sameAs asserts that two comparisons agree but for rounding, up to a sign.
func sameAs(t fataler, what string, got, want compare.Comparison, sign float64) {
	t.Helper()
	near(t, what+": log estimate", got.LogEstimate, sign*want.LogEstimate, 1e-10)
	if got.Model != want.Model {
		t.Fatalf("%s: model %s, want %s", what, got.Model, want.Model)
	}
	near(t, what+": standard error", got.LogSE, want.LogSE, 1e-7)
	near(t, what+": df", got.DF, want.DF, 1e-3*want.DF)
}

// A drift that is straight in the logarithm of speed is taken out: it moves no
// estimate and is reported.
func TestDriftIsTakenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLab(t)
		perHour := float64(rapid.IntRange(-90, 90).Draw(t, "0.1 % per hour")) / 1000
		before := deriveFS(t, l.files())
		after := deriveFS(t,
			l.change(func(b *labBlock, hours float64) { b.speed *= math.Exp(perHour * hours) }).files())
		was, is := speed(t, before, "b", "a"), speed(t, after, "b", "a")
		sameAs(t, "with a drift", is, was, 1)
		near(t, "drift per hour", math.Log1p(is.DriftPerHour/100), math.Log1p(was.DriftPerHour/100)+perHour, 1e-9)
	})
}

// On the logarithmic scale a unit makes no difference: all speeds twice, or 3 %
// higher because of a wrong calibration.
func TestScaleDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLab(t)
		factor := float64(rapid.IntRange(700, 1400).Draw(t, "per mille")) / 1000
		before, after := deriveFS(t, l.files()),
			deriveFS(t, l.change(func(b *labBlock, _ float64) { b.speed *= factor }).files())
		sameAs(t, "scaled", speed(t, after, "b", "a"), speed(t, before, "b", "a"), 1)
	})
}

// Calling A what was B and B what was A turns the sign and nothing else.
func TestRelabellingTurnsTheSign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLab(t)
		other := map[string]string{"a": "b", "b": "a", "c": "c"}
		before, after := deriveFS(t, l.files()), deriveFS(t,
			l.change(func(b *labBlock, _ float64) { b.shoe = other[b.shoe] }).files())
		sameAs(t, "relabelled", speed(t, after, "b", "a"), speed(t, before, "b", "a"), -1)
	})
}

// The reference shoe only says which way round a pair is written.
func TestReferenceTurnsThePair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyLab(t)
		before := deriveFS(t, l.files())
		l.method = "  reference: b\n"
		after := deriveFS(t, l.files())
		c := after.Compare.Find(0, "power 250", "a", "b")
		if c == nil || c.Reference != "b" {
			t.Fatalf("the pair is written as %+v, want against b", c)
		}
		sameAs(t, "turned", *c, speed(t, before, "b", "a"), -1)
	})
}

// A session of other shoes changes nothing about these.
func TestUnrelatedSessionChangesNothing(t *testing.T) {
	l := lab{sessions: []labSession{{blocks: worn("ABBA", 4, 4.05, 4.03, 4.01)},
		{blocks: worn("BAAB", 4.02, 3.99, 4, 4.06)}}}
	before := speed(t, l.derive(t), "b", "a")
	l.sessions = append(l.sessions, labSession{blocks: worn("CDDC", 3.5, 4.4, 3.9, 4.1)})
	after := speed(t, l.derive(t), "b", "a")
	before.PAdjusted, after.PAdjusted = 0, 0 // Holm counts the pairs of the level
	if got, want := fmt.Sprintf("%+v", after), fmt.Sprintf("%+v", before); got != want {
		t.Errorf("with an unrelated session\n%s\nwithout\n%s", got, want)
	}
}

// The same dataset gives the same bytes, run after run, whatever order the file
// system lists its files in.
func TestListingOrderDoesNotMatter(t *testing.T) {
	files := synthetic(3)
	want := deriveFS(t, files)
	for range 2 {
		sameTables(t, deriveFS(t, files), want, nil)
	}
	folder, problems := plaintext.Open(backwards{files}, yamltext.Read, 1)
	got, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	sameTables(t, got, want, nil)
}

// However many workers there are, the tables are the same, and so is the order of the
// problems; progress is told once for each session.
func TestWorkersChangeNothing(t *testing.T) {
	files := synthetic(5)
	want := deriveFS(t, files)
	damaged := maps.Clone(files)
	for _, path := range []string{"sessions/s0003/pod.csv", "sessions/s0001/pod.csv", "sessions/s0002/blocks.csv"} {
		damaged[path] = &fstest.MapFile{Data: append(slices.Clone(files[path].Data), "x,y\n"...)}
	}
	var orders []string
	for _, workers := range []int{0, 1, 2, 7} {
		var told atomic.Int64
		folder, problems := plaintext.Open(files, yamltext.Read, workers)
		got, problems, err := derive.FromFolder(folder, problems,
			derive.Options{Workers: workers, Progress: func() { told.Add(1) }})
		if err != nil || len(problems) > 0 {
			t.Fatal(err, problems)
		}
		sameTables(t, got, want, nil)
		if told.Load() != 5 {
			t.Errorf("%d workers: progress told %d times, want 5", workers, told.Load())
		}
		folder, problems = plaintext.Open(damaged, yamltext.Read, workers)
		got, problems, err = derive.FromFolder(folder, problems, derive.Options{Workers: workers})
		if err != nil || got != nil {
			t.Fatalf("%v, and a result of a damaged dataset: %v", err, got)
		}
		var at []string
		for _, p := range problems {
			at = append(at, p.At.String())
		}
		orders = append(orders, strings.Join(at, " "))
	}
	// The text first, then the recordings, each by session.
	text := "sessions/s0002/blocks.csv:10:1"
	if !strings.HasPrefix(orders[0], text) || !strings.Contains(orders[0], "s0001/pod.csv") ||
		strings.Index(orders[0], "s0001/pod.csv") > strings.Index(orders[0], "s0003/pod.csv") {
		t.Errorf("problems at %s", orders[0])
	}
	if len(slices.Compact(orders)) > 1 {
		t.Errorf("problems in several orders:\n%s", strings.Join(orders, "\n"))
	}
}

// backwards lists folders from the last name to the first.
type backwards struct{ fstest.MapFS }

func (b backwards) ReadDir(name string) ([]fs.DirEntry, error) {
	entries, err := b.MapFS.ReadDir(name)
	slices.Reverse(entries)
	return entries, err
}

// Rows of registers and of blocks.csv may stand in any order: only the hashes of
// those files change.
func TestRowOrderDoesNotMatter(t *testing.T) {
	files := synthetic(2)
	files["venues.csv"] = &fstest.MapFile{Data: []byte("id,label,kind\nhall,Hall,treadmill\noval,Oval,track\n")}
	want := deriveFS(t, files)
	for seed := range uint64(5) {
		rng := rand.New(rand.NewPCG(seed, 7))
		mixed, touched := fstest.MapFS{}, map[string]bool{}
		for path, file := range files {
			mixed[path] = file
			if strings.HasSuffix(path, "blocks.csv") || path == "shoes.csv" || path == "venues.csv" {
				mixed[path] = &fstest.MapFile{Data: shuffledRows(rng, file.Data)}
				touched[path] = !bytes.Equal(mixed[path].Data, file.Data)
			}
		}
		sameTables(t, deriveFS(t, mixed), want, touched)
	}
}

func shuffledRows(rng *rand.Rand, text []byte) []byte {
	lines := strings.SplitAfter(strings.TrimSuffix(string(text), "\n"), "\n")
	lines[len(lines)-1] += "\n"
	rng.Shuffle(len(lines)-1, func(i, j int) { lines[i+1], lines[j+1] = lines[j+1], lines[i+1] })
	return []byte(strings.Join(lines, ""))
}

// sameTables asserts equal tables; in inputs.sha256 the lines of the touched files
// must differ, and only those.
func sameTables(t *testing.T, got, want *derive.Result, touched map[string]bool) {
	t.Helper()
	if len(got.Tables) != len(want.Tables) || len(got.Tables) == 0 {
		t.Fatalf("%d tables, want %d", len(got.Tables), len(want.Tables))
	}
	for i, w := range want.Tables {
		g := got.Tables[i]
		if g.Name != w.Name {
			t.Errorf("table %d is %s, want %s", i, g.Name, w.Name)
		}
		if w.Name != "inputs.sha256" && !bytes.Equal(g.Text, w.Text) {
			t.Errorf("%s differs:\n%s\nwant\n%s", w.Name, g.Text, w.Text)
		}
	}
	now, then := strings.Split(table(got, "inputs.sha256"), "\n"), strings.Split(table(want, "inputs.sha256"), "\n")
	if len(now) != len(then) {
		t.Fatalf("%d hashes, want %d", len(now), len(then))
	}
	for i := range now {
		_, path, _ := strings.Cut(now[i], "  ")
		if (now[i] != then[i]) != touched[path] {
			t.Errorf("hash %q, before %q; the file was touched: %v", now[i], then[i], touched[path])
		}
	}
}

// table returns the text of a table.
func table(r *derive.Result, name string) string {
	for _, t := range r.Tables {
		if t.Name == name {
			return string(t.Text)
		}
	}
	return ""
}
