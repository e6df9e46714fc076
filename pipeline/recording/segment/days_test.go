package segment_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
)

// day is the truth of one recording: when its blocks were run.
type day struct {
	Blocks    [][2]float64 `json:"blocks"`
	Tolerance float64      `json:"tolerance_s"`
}

// days are the folders with recordings of known truth. The small ones stand in
// testdata too, so that every clone tests with them.
var days = []string{"../testdata/days", "../../../../shared/days/a", "../../../../shared/days/b"}

// The truth is the invention: the recordings are of invented sessions.
func TestBlocksAreThoseThatWereRun(t *testing.T) {
	checked := 0
	for _, folder := range days {
		text, err := os.ReadFile(filepath.Join(folder, "truth.json"))
		if err != nil {
			t.Logf("skipped %s: %v", folder, err)
			continue
		}
		truth := map[string]day{}
		if err := json.Unmarshal(text, &truth); err != nil {
			t.Fatal(err)
		}
		for name, want := range truth {
			if name == "block1.fit ... block8.fit" {
				continue // of several files, see align
			}
			src, err := os.ReadFile(filepath.Join(folder, name))
			if err != nil {
				t.Fatal(err)
			}
			for _, way := range []segment.Evidence{{}, {Effort: "power", Target: 268}, {Count: len(want.Blocks)}} {
				imp, err := recording.Read(name, src, recording.Options{})
				if err != nil {
					t.Fatal(err)
				}
				way.Samples, way.Laps, way.Pauses = imp.Samples, imp.Laps, imp.Pauses
				p := segment.Propose(way)
				if problem := differs(p.Blocks, want); problem != "" {
					t.Errorf("%s/%s: %s", folder, name, problem)
				}
				checked++
			}
		}
	}
	if checked < 6 {
		t.Errorf("%d recordings with a truth were read, want at least those of testdata", checked)
	}
}

// differs says how found blocks differ from the true ones; "" where they do not.
func differs(got []segment.Found, want day) string {
	if len(got) != len(want.Blocks) {
		return fmt.Sprintf("%d blocks, want %d: %+v", len(got), len(want.Blocks), got)
	}
	for i, b := range got {
		if w := want.Blocks[i]; math.Abs(b.StartS-w[0]) > want.Tolerance || math.Abs(b.EndS-w[1]) > want.Tolerance {
			return fmt.Sprintf("block %d is %.1f to %.1f s, want %v within %.0f s",
				i+1, b.StartS, b.EndS, w, want.Tolerance)
		}
	}
	return ""
}

// What was held in the invented sessions is in their README: 268 W, and 154 bpm.
func TestWhatWasHeldOnTheDays(t *testing.T) {
	for name, want := range map[string]struct {
		effort trial.Effort
		target float64
	}{"abba.fit": {trial.Power, 268}, "forgot.fit": {trial.Power, 268}, "autolaps.fit": {trial.HeartRate, 154}} {
		src, err := os.ReadFile(filepath.Join("../testdata/days", name))
		if err != nil {
			t.Fatal(err)
		}
		imp, err := recording.Read(name, src, recording.Options{})
		if err != nil {
			t.Fatal(err)
		}
		p := segment.Propose(segment.Evidence{Samples: imp.Samples, Laps: imp.Laps, Pauses: imp.Pauses})
		if p.Effort != want.effort || math.Abs(p.Target-want.target) > 2 {
			t.Errorf("%s: %s held at %v, want %s at %v", name, p.Effort, p.Target, want.effort, want.target)
		}
	}
}
