package quality

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// By hand: at 3.75 m/s the square of the air's speed is 14.06; 3 m/s of wind add 9
// times (1 -+ 0.42195)/2 over a lap, 18.5 to 45.5 %.
func TestWindMessage(t *testing.T) {
	w := sound()
	w.facts().Conditions.WindMps = 3
	const want = "wind of 3.0 m/s: over laps of a track, air resistance is 18 to 46 % higher than in still air"
	if got := of("wind-strong", w.findings())[0].Message; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for name, bend := range map[string]func(*fixture){
		"faster than the runner": func(w *fixture) { w.facts().Conditions.WindMps = 4 },
		"without blocks":         func(w *fixture) { w.order("") },
		"without a speed":        func(w *fixture) { w.samples().Values[trial.SpeedMps] = nil },
	} {
		w := sound()
		w.facts().Conditions.WindMps = 3.5
		bend(w)
		if got := of("wind-strong", w.findings())[0].Message; strings.Contains(got, "resists") {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// A stop across sessions is lifted by an override of the session it keeps out.
func TestRecordingTwiceOverridden(t *testing.T) {
	w := sound()
	w.facts().Recordings[0].SourceSha256, w.other().Facts.Recordings[0].SourceSha256 = "aa", "aa"
	f := of("recording-twice", w.findings())[0]
	if f.Session != "tuesday" || !f.Holds() || f.At != w.other().At ||
		f.Message != "sessions/tuesday/pod.csv is the same recording as sessions/monday/pod.csv" {
		t.Errorf("%+v", f)
	}
	w.other().Facts.Overrides = []trial.Override{{Rule: "recording-twice", Reason: "two runners, one watch"}}
	if f := of("recording-twice", w.findings())[0]; f.Holds() || f.Override != "two runners, one watch" {
		t.Errorf("%+v", f)
	}
}

// What keeps a session out is found without the other rules, because no other one of the dataset
// can do that.
func TestHoldingFindsAllThatKeepsASessionOut(t *testing.T) {
	for _, r := range datasetWords {
		if stops := slices.Contains(r.Severities, trial.Stop); stops != (r.Slug == RecordingTwice) {
			t.Errorf("%s: can stop: %v", r.Slug, stops)
		}
	}
	w := sound()
	if got := ExcludingFindings(&w.ds, w.content); len(got) != 0 {
		t.Errorf("a sound dataset: %+v", got)
	}
	w.facts().Recordings[0].SourceSha256, w.other().Facts.Recordings[0].SourceSha256 = "aa", "aa"
	want := of(RecordingTwice, w.findings())
	got := ExcludingFindings(&w.ds, w.content)
	if len(got) != 1 || len(want) != 1 || got[0].Session != want[0].Session || got[0].Message != want[0].Message ||
		!got[0].Holds() {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// The groups of linked shoes are those that a walk from shoe to shoe through
// common sessions finds.
func TestUnlinkedAgainstAWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ds := &trial.Dataset{Facts: trial.DatasetFacts{Limits: trial.DefaultLimits()}}
		var blocks []*steady.Summary
		meet := map[byte]map[byte]bool{}
		for i := range rapid.IntRange(1, 6).Draw(t, "sessions") {
			id := string(rune('1' + i))
			ds.Sessions = append(ds.Sessions, trial.Session{ID: id, Facts: trial.SessionFacts{Effort: "power"}})
			worn := rapid.StringOfN(rapid.RuneFrom([]rune("abcdef")), 1, 5, -1).Draw(t, "order")
			for j := range worn {
				blocks = append(blocks, &steady.Summary{Session: id, Shoe: worn[j : j+1], Target: 250})
				for k := range worn {
					if meet[worn[j]] == nil {
						meet[worn[j]] = map[byte]bool{}
					}
					meet[worn[j]][worn[k]] = true
				}
			}
		}
		groups, seen := 0, map[byte]bool{}
		var walk func(byte)
		walk = func(shoe byte) {
			if !seen[shoe] {
				seen[shoe] = true
				for other := range meet[shoe] {
					walk(other)
				}
			}
		}
		for shoe := range meet {
			if !seen[shoe] {
				groups++
				walk(shoe)
			}
		}
		found := of("shoes-unlinked", Dataset(ds, blocks, nil))
		if groups < 2 != (len(found) == 0) || len(found) == 1 && found[0].Value != float64(groups) {
			t.Fatalf("%d groups, findings %+v", groups, found)
		}
	})
}

// The groups are named, each in order.
func TestUnlinkedMessage(t *testing.T) {
	w := sound()
	w.order("AC")
	w.other().Blocks = lined("B")
	const want = "no session at 250 W links these groups of shoes: alder cedar | birch"
	if got := of("shoes-unlinked", w.findings())[0].Message; got != want {
		t.Errorf("%q", got)
	}
}

// Spread between shoes: the means are per shoe, and blocks without a value do not
// count.
func TestFurthestApart(t *testing.T) {
	blocks := []*steady.Summary{{Shoe: "b", MeanEffort: 2.5}, {Shoe: "a", MeanEffort: 1}, {Shoe: "a", MeanEffort: 3},
		{Shoe: "c", MeanEffort: units.Missing}, {Shoe: "d", MeanEffort: 2.2}}
	held := func(b *steady.Summary) float64 { return b.MeanEffort }
	low, high, pct := furthestApart(blocks, held)
	if low.shoe != "a" || high.shoe != "b" || low.mean() != 2 || high.mean() != 2.5 || math.Abs(pct-25) > 1e-12 {
		t.Errorf("%+v %+v %v", low, high, pct)
	}
	if _, _, pct := furthestApart(blocks[1:4], held); units.Known(pct) {
		t.Error("a spread among one shoe")
	}
}

// BenchmarkSession is every rule over half an hour at one sample a second.
func BenchmarkSession(b *testing.B) {
	w := sound()
	summaries := steady.Session(&w.ds, w.session(), w.recordings)
	b.ReportAllocs()
	for b.Loop() {
		Screen(&w.ds, w.recordings).Session(&w.ds, w.session(), summaries)
	}
}
