package app

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
	"soletrial/viewer/internal/example"
)

// deriveInFull derives everything under the choice from nothing, without what the model
// remembers.
func deriveInFull(m *Model) *derive.Result {
	ds := m.chosenDataset()
	results := make([]derive.SessionResult, len(ds.Sessions))
	for i := range results {
		published := &m.Dataset.Sessions[i]
		results[i] = deriveChanged(published, m.blockChoices(published.ID),
			func(s *trial.Session) derive.SessionResult {
				return derive.Session(ds, s, m.recordings[s.ID])
			})
	}
	return derive.FromSessions(ds, results, m.inputs, 1)
}

// anything draws an action of a reader that bears on the analysis.
func anything(t *rapid.T) (action, value string) {
	session := rapid.SampledFrom([]string{example.First, example.Second, example.ByHand}).Draw(t, "session")
	block := On(DoBlock, fmt.Sprintf("%s/%d", session, rapid.IntRange(1, example.Blocks).Draw(t, "block")))
	seconds := fmt.Sprint(rapid.SampledFrom([]int{0, 15, 59, 60, 61, 150, 299, 300}).Draw(t, "seconds"))
	action, value, _ = strings.Cut(rapid.SampledFrom([]string{
		On(DoTrim, "head_s") + "|" + seconds, On(DoTrim, "tail_s") + "|" + seconds,
		On(DoTrim, "heart_rate_head_s") + "|" + seconds, On(DoTrim, "head_s") + "|",
		block + "|true", block + "|false", DoReference + "|birk", DoReference + "|arden", DoDrift + "|true",
		DoDrift + "|false", DoExponent + "|0.8", DoOutcome + "|power", DoOutcome + "|",
		DoReset + "|", DoUndo + "|",
	}).Draw(t, "action|value"), "|")
	return action, value
}

// blocksText writes blocks but for their other windows, which nobody who drags waits for.
func blocksText(blocks []derive.Block) string {
	text := ""
	for _, b := range blocks {
		b.OtherWindows = nil
		text += fmt.Sprintf("%+v\n", b)
	}
	return text
}

// What is shown after any number of changes is what deriving everything anew
// gives, to the last bit.
func TestRecomputingIsDerivingAnew(t *testing.T) {
	shared := opened(t)
	rapid.Check(t, func(t *rapid.T) {
		m := shared
		for range rapid.IntRange(1, 6).Draw(t, "changes") {
			action, value := anything(t)
			do(m, action, value)
		}
		do(m, DoPlain, "true")
		quick := m.Yours()
		m.Refine()
		got, want := m.Yours(), deriveInFull(m)
		for i := range want.Sessions {
			if g, w := blocksText(quick.Sessions[i].Blocks), blocksText(want.Sessions[i].Blocks); g != w {
				t.Fatalf("after %q, while it moves, the blocks are\n%s\nwant\n%s", m.Choice().Fragment(), g, w)
			}
		}
		sameAnswers(t, got.Answers, want.Answers)
		for i := range want.Sessions {
			// %+v writes a float64 so that no other one reads the same.
			if g, w := blocksText(got.Sessions[i].Blocks), blocksText(want.Sessions[i].Blocks); g != w {
				t.Fatalf("after %q the blocks are\n%s\nwant\n%s", m.Choice().Fragment(), g, w)
			}
		}
		if g, w := fmt.Sprintf("%+v", got.Findings), fmt.Sprintf("%+v", beforeAnswer(want.Findings)); g != w {
			t.Fatalf("after %q the findings are\n%s\nwant\n%s", m.Choice().Fragment(), g, w)
		}
		if g, w := fmt.Sprintf("%+v", got.Compare.Rankings), fmt.Sprintf("%+v", want.Compare.Rankings); g != w {
			t.Fatalf("after %q the rankings are\n%s\nwant\n%s", m.Choice().Fragment(), g, w)
		}
		for i := range got.Compare.Comparisons {
			g := &got.Compare.Comparisons[i]
			w := want.Compare.Find(g.Outcome, g.Level, g.Shoe, g.Reference)
			if numbers(g) != numbers(w) {
				t.Fatalf("after %q %s against %s gives\n%s\nwant\n%s", m.Choice().Fragment(), g.Shoe, g.Reference,
					numbers(g), numbers(w))
			}
		}
	})
}

// beforeAnswer leaves out the findings about the answer, which wait for its analyses.
func beforeAnswer(all []trial.Finding) []trial.Finding {
	return slices.DeleteFunc(slices.Clone(all), func(f trial.Finding) bool {
		rule, _ := quality.RuleNamed(f.Rule)
		return rule.Scope == quality.OfAnswer
	})
}

// sameAnswers compares answers to the last bit.
func sameAnswers(t *rapid.T, got, want *answer.Answers) {
	if len(got.Efforts) != len(want.Efforts) || got.Headline != want.Headline {
		t.Fatalf("%d answers, headline %d; want %d, %d",
			len(got.Efforts), got.Headline, len(want.Efforts), want.Headline)
	}
	for i := range want.Efforts {
		for g := range want.Efforts[i].Groups {
			a, b := &got.Efforts[i].Groups[g], &want.Efforts[i].Groups[g]
			for k := range b.Pairs {
				if a.Pairs[k].D != b.Pairs[k].D || a.Status != b.Status {
					t.Fatalf("pair %d is %+v, want %+v", k, a.Pairs[k].D, b.Pairs[k].D)
				}
			}
		}
	}
}

// numbers writes what both ways of comparing give.
func numbers(c *compare.Comparison) string {
	return fmt.Sprintln(c.Model, c.Blocks, c.Sessions, c.LogEstimate, c.LogSE, c.DF, c.Estimate, c.Low, c.High, c.P,
		c.PAdjusted, c.BetweenSD, c.ResidualSD, c.DriftPerHour, c.TippingDrift, c.Evidence, c.Adjustment)
}

// A change costs as many summaries as there are blocks it bears on, looking at
// something else none, and coming back to what is published none.
func TestSummariesAreMadeOnce(t *testing.T) {
	m := opened(t)
	cost := func(pairs ...string) int {
		before := m.SummarisedBlocks
		do(m, pairs...)
		return m.SummarisedBlocks - before
	}
	all := 3 * example.Blocks
	for _, c := range []struct {
		what  string
		pairs []string
		want  int
	}{
		{"a trim", []string{On(DoTrim, "head_s"), "90"}, all},
		{"the same trim again", []string{On(DoTrim, "head_s"), "90"}, 0},
		{"a drag of three steps before one picture",
			[]string{On(DoTrim, "head_s"), "91", On(DoTrim, "head_s"), "92", On(DoTrim, "head_s"), "93"}, all},
		{"another outcome", []string{DoOutcome, "power"}, 0},
		{"another reference shoe", []string{DoReference, "birk"}, 0},
		{"no drift", []string{DoDrift, "false"}, 0},
		{"zoom and cursor", []string{DoZoom, "in", DoCursor, "30"}, 0},
		{"one block out", []string{On(DoBlock, example.First+"/1"), "false"}, example.Blocks},
		{"back to published", []string{DoReset, ""}, 0},
	} {
		if got := cost(c.pairs...); got != c.want {
			t.Errorf("%s costs %d summaries, want %d", c.what, got, c.want)
		}
	}
}

// A shoe called 5 and the exponent 0.9 are not the exponent 0.95: what the results
// were made from is compared field by field, never as one text.
func TestOneChoiceIsNotTakenForAnother(t *testing.T) {
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	for path, text := range bundle.Files {
		bundle.Files[path] = bytes.ReplaceAll(text, []byte("birk"), []byte("5"))
	}
	if bundle, err = example.Publish(bundle.Files); err != nil {
		t.Fatal(err)
	}
	m, err := Open(bundle, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	for _, fragment := range []string{
		"power_exponent=0.9&reference=5", "power_exponent=0.95", "power_exponent=0.95&out=" + example.First + "/1",
	} {
		m.Follow(fragment + "&comparisons=shown")
		m.Recompute()
		got, want := m.Yours(), deriveInFull(m)
		for i := range got.Compare.Comparisons {
			g := &got.Compare.Comparisons[i]
			w := want.Compare.Find(g.Outcome, g.Level, g.Shoe, g.Reference)
			if w == nil || numbers(g) != numbers(w) {
				t.Errorf("%s: %s against %s has other numbers than deriving everything anew", fragment, g.Shoe,
					g.Reference)
			}
		}
	}
}

// While a control moves the answer is near the exact one that follows when it rests, so that no
// number jumps: chances by less than half a point, ends of intervals by a thirtieth of their SD.
func TestNumbersDoNotJumpAtRest(t *testing.T) {
	m := opened(t)
	for _, head := range []string{"0", "15", "45", "61", "75", "90", "120", "150"} {
		do(m, On(DoTrim, "head_s"), head)
		moving := m.Yours().Answers
		if !m.Refine() {
			t.Fatalf("at %s s there is nothing to make exact", head)
		}
		exact := m.Yours().Answers
		for i := range exact.Efforts {
			for g := range exact.Efforts[i].Groups {
				a, b := &moving.Efforts[i].Groups[g], &exact.Efforts[i].Groups[g]
				what := fmt.Sprintf("trim start of %s s, at the same %s", head, exact.Efforts[i].Effort)
				for k := range b.Places {
					near(t, what+": chance of "+b.Places[k].Shoe, a.Places[k].Best, b.Places[k].Best, 0.005)
				}
				for k := range b.Pairs {
					near(t, what+": low", a.Pairs[k].D.Low, b.Pairs[k].D.Low, b.Pairs[k].D.SD/30)
					near(t, what+": high", a.Pairs[k].D.High, b.Pairs[k].D.High, b.Pairs[k].D.SD/30)
				}
			}
		}
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %v while it moves, %v at rest", what, got, want)
	}
}
