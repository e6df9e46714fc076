package quality

import (
	"regexp"
	"slices"
	"testing"

	"soletrial/pipeline/trial"
)

// Samples are found on the session's clock, and the one furthest out is the worst, to either side.
func TestSamplesOutsideBounds(t *testing.T) {
	r := &trial.Recording{Fact: trial.RecordingFact{OffsetS: 10},
		Samples: &trial.Samples{Elapsed: []float64{0, 1, 2, 3, 4}}}
	r.Samples.Values[trial.PowerW] = []float64{80, 150, 215, 95, 300}
	for _, c := range []struct {
		from, to float64
		n        int
		worst    float64
	}{{10, 14, 3, 80}, {11, 14, 2, 215}, {13, 14, 1, 95}, {10, 15, 4, 300}, {0, 100, 4, 300}} {
		if n, worst := outsideBounds(r, trial.PowerW, c.from, c.to, []float64{100, 200}); n != c.n || worst != c.worst {
			t.Errorf("%v to %v: %d, the worst %v, want %d and %v", c.from, c.to, n, worst, c.n, c.worst)
		}
	}
	if first, end := between(r, 11, 13); first != 1 || end != 3 {
		t.Errorf("samples %d to %d, want 1 to 3", first, end)
	}
	if first, end := between(r, 13, 11); first != 3 || end != 3 {
		t.Errorf("samples %d to %d of nothing", first, end)
	}
}

// A channel may stand still from the first sample of a recording on; of two times that are as long
// the first is named.
func TestFrozenFromTheStart(t *testing.T) {
	w := sound()
	w.hold(trial.PowerW, 0, 40, 251)
	w.hold(trial.PowerW, 200, 234, 252)
	w.hold(trial.PowerW, 250, 284, 250.5)
	frozen := Screen(&w.ds, w.recordings).frozen[trial.PowerW]
	if want := append(slices.Repeat(places{0}, 9), 231, 232, 233, 281, 282, 283); len(frozen) != len(want) ||
		frozen[0] != 31 || frozen[8] != 39 || !slices.Equal(frozen[9:], want[9:]) {
		t.Errorf("frozen at %v", frozen)
	}
	if found := of(ValueFrozen, w.findings()); len(found) != 1 ||
		found[0].Message != "power stays at 252.0 W for 33 s" {
		t.Errorf("%+v", found)
	}
}

func TestDateInName(t *testing.T) {
	for id, want := range map[string]string{"2026-03-07": "2026-03-07", "2026-03-07-evening": "2026-03-07",
		"2026-03-071": "", "2026-03-0": "", "20x6-03-07": "", "2026/03/07": "", "2026-03-:7": "", "morning": ""} {
		if date, ok := dateInName(id); ok != (want != "") || ok && date != want {
			t.Errorf("%s: %q, %v", id, date, ok)
		}
	}
}

// Seconds are whole in messages, ratios have four decimals.
func TestMessagesRound(t *testing.T) {
	w := sound()
	w.block(0).End = w.block(0).Start + 134.4
	if found := of("window-short", w.findings()); len(found) != 1 ||
		found[0].Message != "the trim leaves 59 s of the block" {
		t.Errorf("%+v", found)
	}
	w = sound()
	for i := range w.session().Blocks {
		if b := w.block(i); b.Shoe == "birch" {
			b.DistanceM *= 0.97
		}
	}
	want := regexp.MustCompile(`^sensor distance divided by ground distance is \d\.\d{4} in alder and ` +
		`\d\.\d{4} in birch \(\d\.\d % apart\)$`)
	if !slices.ContainsFunc(w.findings(), func(f trial.Finding) bool { return want.MatchString(f.Message) }) {
		t.Errorf("no finding says %s: %+v", want, w.findings())
	}
}
