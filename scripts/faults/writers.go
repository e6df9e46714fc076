package main

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/recording/fittest"
)

// writerRounds is how often all writers are started at once.
const writerRounds = 200

// killsPerRound is how many of them are killed in every second round.
const killsPerRound = 3

// writers are commands that write into one dataset at the same time. What the ones
// before derive do gives the same bytes in any order, so that a set of them, a bit for
// each, has one outcome; several write into the same files.
var writers = [][]string{
	{"import", "-s", "2026-05-01-power", "--target", "280", "--new-shoe", "alder:Alder:210",
		"--shoes", "alder,quenby,quenby,alder", "first.fit"},
	{"import", "-s", "2026-05-02-power", "--target", "280", "--new-shoe", "birch:Birch:220",
		"--shoes", "birch,tarrow,tarrow,birch", "second.fit"},
	{"import", "-s", "2026-04-30-power", "--device", "watch", "fourth.fit"},
	{"import", "-s", "2026-04-29-power", "--device", "pod", "--force", "fourth.fit"},
	{"log", "-s", "2026-03-07-power", "--weight", "quenby=213/215", "--air-c", "12.5"},
	{"log", "-s", "2026-04-30-power", "--weight", "tarrow=223/225", "--wind-mps", "1.5", "--rpe", "5,6,6,7"},
	derive,
}

// deriver is the place of derive among the writers.
var deriver = len(writers) - 1

// everyWriter is the set of all that come before derive.
var everyWriter = 1<<deriver - 1

// contest is the dataset that the writers meet in, and what each set of them makes of it.
type contest struct {
	c        *campaign
	base     tree
	outcomes map[int]tree // by set; without derived tables
	tables   map[int]tree
	took     time.Duration // all at once
}

// tryWriters starts 4 imports, 2 logs and a derive at once, and kills some of them in
// every second round. Every file must be as if they had run one after the other.
func (c *campaign) tryWriters() error {
	w, err := c.newContest()
	if err != nil {
		return err
	}
	random := rand.New(rand.NewPCG(c.seed, 13))
	for _, part := range []struct {
		fault string
		kills int
	}{
		{"4 imports, 2 logs and a derive at once", 0},
		{fmt.Sprintf("the same, %d of the 7 killed", killsPerRound), killsPerRound},
	} {
		t := c.count(part.fault)
		rounds, unfinished := writerRounds/2, 0
		if c.short {
			rounds = 2
		}
		// The victims and the moment of their death follow from the seed.
		for range rounds {
			victims := random.Perm(len(writers))[:part.kills]
			cut, err := w.round(t, victims, random)
			if err != nil {
				return err
			}
			unfinished += cut
		}
		if part.kills > 0 {
			t.note = fmt.Sprintf("%d commands were killed before their end", unfinished)
		}
	}
	return nil
}

func (c *campaign) newContest() (*contest, error) {
	small, err := c.small()
	if err != nil {
		return nil, err
	}
	files := tree{}
	for name, day := range map[string]int{"first": 1, "second": 2, "third": 0, "fourth": 0} {
		spec := fittest.Spec{Start: time.Date(2026, 4, 30+day, 17, 30, 0, 0, time.UTC)}
		if name == "fourth" {
			spec.NativePower, spec.WarmUpS = true, 60
		}
		files[name+".fit"] = string(fittest.Run(spec))
	}
	// Two sessions that the writers meet in.
	base, err := c.treeAfter(merged(small, "", files), "import", "-s", "2026-04-30-power", "--target", "280",
		"--shoes", "quenby,tarrow,tarrow,quenby", "third.fit")
	if err != nil {
		return nil, err
	}
	base, err = c.treeAfter(base, "import", "-s", "2026-04-29-power", "--date", "2026-04-29", "--target", "280",
		"--device", "pod", "--force", "third.fit")
	return &contest{c: c, base: base, outcomes: map[int]tree{0: base}, tables: map[int]tree{}}, err
}

// outcome is what a set of writers leaves when they run one after the other.
func (w *contest) outcome(set int) (tree, error) {
	if done, ok := w.outcomes[set]; ok {
		return done, nil
	}
	last := 0
	for i := range deriver {
		if set&(1<<i) != 0 {
			last = i
		}
	}
	before, err := w.outcome(set &^ (1 << last))
	if err != nil {
		return nil, err
	}
	after, err := w.c.treeAfter(before, writers[last]...)
	w.outcomes[set] = after
	return after, err
}

// derived is what derive makes of the outcome of a set.
func (w *contest) derived(set int) (tree, error) {
	if done, ok := w.tables[set]; ok {
		return done, nil
	}
	before, err := w.outcome(set)
	if err != nil {
		return nil, err
	}
	after, err := w.c.treeAfter(before, "derive")
	w.tables[set] = after.byDerive()
	return w.tables[set], err
}

// round starts all writers at once and kills the victims at moments within the time that
// all of them take. It returns how many of those were killed before their end.
func (w *contest) round(t *tally, victims []int, random *rand.Rand) (killed int, err error) {
	dir, err := w.c.newFolder(w.base)
	if err != nil {
		return 0, err
	}
	defer os.RemoveAll(dir)

	// All at once; a victim gets a shorter time than it takes.
	outcomes := make([]outcome, len(writers))
	var running sync.WaitGroup
	began := time.Now()
	for i, args := range writers {
		patient := patience
		if slices.Contains(victims, i) {
			patient = time.Duration(math.Pow(random.Float64(), 2) * float64(w.took))
		}
		running.Go(func() {
			ctx, cancel := context.WithTimeout(context.Background(), patient)
			defer cancel()
			outcomes[i] = finish(ctx, w.c.command(ctx, dir, args...))
		})
	}
	running.Wait()
	if len(victims) == 0 {
		w.took = max(w.took, time.Since(began))
	}

	// Who ended, and who may have done something.
	certain, possible := 0, 0
	var wrong []string
	for i, o := range outcomes {
		switch {
		case o.code == 0:
			certain |= 1 << i
		case slices.Contains(victims, i) && o.hung:
			killed++
		default:
			wrong = append(wrong, fmt.Sprintf("%q ends with %d: %s", writers[i], o.code, truncated(o.err)))
		}
		possible |= 1 << i
	}
	judged, lost, err := w.judge(dir, certain, possible)
	t.lost += lost
	w.c.judge(t, fmt.Sprintf("with %d killed", len(victims)), append(wrong, judged...))
	return killed, err
}

// judge compares every file with what the sets of writers leave that hold the certain
// ones, and lets derive come once more.
func (w *contest) judge(dir string, certain, possible int) (wrong []string, lost int64, err error) {
	left, err := readTree(dir)
	if err != nil {
		return nil, 0, err
	}
	// Inputs: each is that of one of the sets.
	names := map[string]bool{}
	var candidates []tree
	for set := range everyWriter + 1 {
		if set&certain&everyWriter == certain&everyWriter && set&^possible == 0 {
			after, err := w.outcome(set)
			if err != nil {
				return nil, 0, err
			}
			candidates = append(candidates, after)
			for name := range after {
				names[name] = true
			}
		}
	}
	for name := range left {
		if !strings.Contains("/"+name, "/"+tempPrefix) {
			names[name] = true
		}
	}
	maps.DeleteFunc(names, func(name string, _ bool) bool { return writtenByDerive(name) })
	for name := range names {
		text, found := left[name]
		if !slices.ContainsFunc(candidates, func(t tree) bool {
			want, wanted := t[name]
			return wanted == found && want == text
		}) {
			wrong = append(wrong, name+" is not as if the writers had run one after the other")
			lost += int64(len(w.base[name]))
		}
	}
	// Tables: all of one state, where derive ended and no other was killed half-way.
	if certain == possible {
		found, err := w.ofOneState(left.byDerive())
		if err != nil {
			return nil, 0, err
		}
		if !found {
			wrong = append(wrong, "the tables are not those of a state that the dataset had")
		}
	}
	return append(wrong, w.afterwards(dir, certain == possible)...), lost, nil
}

// ofOneState reports whether tables are what derive gives after some of the writers.
func (w *contest) ofOneState(tables tree) (bool, error) {
	for set := range everyWriter + 1 {
		inputs, err := w.outcome(set)
		if err != nil {
			return false, err
		}
		if !listed(tables["data/derived/inputs.sha256"], inputs) {
			continue
		}
		want, err := w.derived(set)
		return len(tables.differences(want)) == 0, err
	}
	return false, nil
}

// listed reports whether a list of inputs is that of a tree.
func listed(list string, inputs tree) bool {
	lines := 0
	for name, text := range inputs {
		rest, in := strings.CutPrefix(name, "data/")
		if !in || writtenByDerive(name) || strings.HasSuffix(rest, ".md") {
			continue
		}
		lines++
		if !strings.Contains(list, checksum.SHA256([]byte(text))+"  "+rest+"\n") {
			return false
		}
	}
	return lines == strings.Count(list, "\n")
}

// afterwards runs what was interrupted again, and derive: everything must be there, and
// nothing else. Where nobody was interrupted derive alone is run.
func (w *contest) afterwards(dir string, whole bool) (wrong []string) {
	for i, args := range writers {
		if whole && i != deriver {
			continue
		}
		if o := w.c.soletrial(dir, args...); o.code != 0 || o.hung {
			wrong = append(wrong, fmt.Sprintf("afterwards %q ends with %d: %s", args, o.code, truncated(o.err)))
		}
	}
	after, err := readTree(dir)
	want, err2 := w.outcome(everyWriter)
	tables, err3 := w.derived(everyWriter)
	if err := errors.Join(err, err2, err3); err != nil {
		return append(wrong, err.Error())
	}
	for _, d := range after.differences(merged(want, "", tables)) {
		wrong = append(wrong, "afterwards "+d)
	}
	if writing(filepath.Join(dir, "data")) {
		wrong = append(wrong, "what was begun is still there")
	}
	return wrong
}
