package app

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/checksum"
	"soletrial/viewer/internal/example"
	"soletrial/viewer/load"
)

// answered gives the example's index the published answer.
func answered(t *testing.T) *load.Bundle {
	t.Helper()
	bundle, err := example.Bundle()
	if err != nil {
		t.Fatal(err)
	}
	m, err := Open(bundle, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	answer := &load.Answer{Headline: m.published.Compare.Verdict.Headline, Sessions: m.LoadedSessions()}
	for _, r := range m.published.Compare.Rankings {
		ranking := load.Ranking{Outcome: r.Outcome.Info().ID, Level: r.Level}
		for _, p := range r.Places {
			ranking.Places = append(ranking.Places, load.Place{Shoe: p.Shoe, Reference: p.Reference, Apart: p.Apart})
		}
		answer.Rankings = append(answer.Rankings, ranking)
	}
	bundle.Index.Answer = answer
	return bundle
}

// only leaves of a bundle what is fetched for one session.
func only(whole *load.Bundle, session string) *load.Bundle {
	part := *whole
	part.Files, part.Derived = maps.Clone(whole.Files), load.Folder{}
	maps.DeleteFunc(part.Files, func(path string, _ []byte) bool {
		return strings.HasPrefix(path, "sessions/") && !strings.HasPrefix(path, "sessions/"+session+"/")
	})
	for _, table := range []string{load.ComparisonsTable, load.BlocksTable} {
		part.Derived[table] = whole.Derived[table]
	}
	return &part
}

func opening(t *testing.T, bundle *load.Bundle) *Model {
	t.Helper()
	m, err := Open(bundle, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// What is read back shows what deriving everything gives, in every outcome.
func TestPublishedAnswerReadsAsDerived(t *testing.T) {
	whole := answered(t)
	m := opening(t, only(whole, example.Second))
	derived := opening(t, whole)
	if want := (PartialResult{Sessions: 1, Of: 3}); fmt.Sprint(m.Partial) != fmt.Sprint(want) || m.Check != nil {
		t.Errorf("derived is %+v with %d tables, want %+v", m.Partial, len(m.Check), want)
	}
	if m.Published().Compare.Verdict.Headline != derived.Published().Compare.Verdict.Headline ||
		m.Yours() != m.Published() {
		t.Error("the headline is another")
	}
	seen := 0
	for _, o := range derived.Outcomes() {
		do(m, DoOutcome, o.Info().ID)
		do(derived, DoOutcome, o.Info().ID)
		got, want := m.Rows(), derived.Rows()
		if len(got) != len(want) {
			t.Fatalf("%s has %d rows, want %d", o.Info().ID, len(got), len(want))
		}
		for i := range want {
			g, w := got[i].Published, want[i].Published
			if got[i].Level != want[i].Level || got[i].Shoe != want[i].Shoe || EstimateText(g) != EstimateText(w) ||
				g.Evidence != w.Evidence || g.Blocks != w.Blocks {
				t.Errorf("%s reads %+v, want %+v", o.Info().ID, g, w)
			}
			seen++
		}
	}
	if seen < 10 {
		t.Errorf("%d rows were compared", seen)
	}
	for i, r := range derived.published.Compare.Rankings {
		for j, place := range r.Places {
			g := m.published.Compare.Rankings[i].Places[j]
			if d := g.Estimate - place.Estimate; g.Shoe != place.Shoe || g.Reference != place.Reference ||
				!slices.Equal(g.Apart, place.Apart) || d > 1e-4 || d < -1e-4 {
				t.Errorf("place %d at %s is %+v, want %+v", j+1, r.Level, g, place)
			}
		}
	}
	for i, b := range derived.published.Session(example.Second).Blocks {
		if g := m.published.Session(example.Second).Blocks[i]; g.Included != b.Included || g.Reason != b.Reason ||
			fmt.Sprint(g.Outcomes) != fmt.Sprint(b.Outcomes) {
			t.Errorf("block %s is %+v, want %+v", b.Block, g, b)
		}
	}
}

// A published row that the samples do not give is found in the one session already.
func TestPartialResultFindsADifferingRow(t *testing.T) {
	bundle := only(answered(t), example.First)
	text := strings.Replace(string(bundle.Derived[load.BlocksTable]), example.First+",2,", example.First+",2x,", 1)
	bundle.Derived[load.BlocksTable] = []byte(text)
	if _, err := Open(bundle, func(int, int) {}); !errors.As(err, new(*load.AnswerError)) {
		t.Errorf("a table that is not the one of its hash gives %v", err)
	}
	index := *bundle.Index
	index.Derived = slices.Clone(index.Derived)
	for i := range index.Derived {
		if index.Derived[i].Path == load.BlocksTable {
			index.Derived[i].SHA256 = checksum.SHA256([]byte(text))
		}
	}
	bundle.Index = &index
	m := opening(t, bundle)
	slices.Sort(m.Partial.Differing)
	if want := []string{example.First + "/2", example.First + "/2x"}; !slices.Equal(m.Partial.Differing, want) {
		t.Errorf("differing are %q, want %q", m.Partial.Differing, want)
	}
}

func TestWhatActionsFetch(t *testing.T) {
	whole := answered(t)
	m := opening(t, only(whole, example.First))
	m.RestoreViews([]byte("changed#head_s=90\nother#session=" + example.Second + "\n"))
	for _, c := range []struct {
		action, value string
		everything    bool
		sessions      int
	}{
		{DoZoom, "in", false, 0}, {DoOutcome, "power", false, 0}, {DoUnits, "imperial", false, 0},
		{DoSession, example.First, false, 0}, {DoReset, "", false, 0},
		{DoSession, example.Second, false, 2}, {On(DoOverlay, example.Second), "true", false, 2},
		{DoSession, "nowhere", false, 0},
		{DoFollow, "session=" + example.Second, false, 2}, {DoFollow,
			"session=" + example.Second + "&beside=" + example.ByHand, true, 0},
		{On(DoOpenView, "changed"), "", true, 0}, {On(DoOpenView, "other"), "", false, 2},
		{On(DoTrim, "head_s"), "90", true, 0}, {On(DoEdge, "head_s"), "90", true, 0}, {DoReference, "birk", true, 0},
		{DoDrift, "false", true, 0}, {DoExponent, "0.8", true, 0},
		{On(DoBlock, example.First+"/2"), "false", true, 0}, {DoDerive, "", true, 0},
	} {
		want, more := m.Requires(c.action, c.value)
		if want.All != c.everything || more != (c.everything || c.sessions > 0) || more &&
			len(want.Sessions) != c.sessions {
			t.Errorf("%s %s fetches %+v, %v", c.action, c.value, want, more)
		}
	}
	do(m, On(DoTrim, "head_s"), "90")
	if m.Choice().Changed() || m.Notice == "" {
		t.Error("a change was taken without the sessions it needs")
	}
	if _, more := opening(t, whole).Requires(DoDerive, ""); more {
		t.Error("a whole dataset wants more")
	}
}

func TestExtendKeepsTheChoice(t *testing.T) {
	whole := answered(t)
	m := opening(t, only(whole, example.First))
	do(m, DoOutcome, "power", DoUnits, "imperial", DoNameView, "mine")
	broken := *whole
	broken.Files = maps.Clone(whole.Files)
	broken.Files["shoes.csv"] = nil
	if err := m.Extend(&broken, func(int, int) {}); err == nil || m.Bundle.Complete() {
		t.Errorf("a broken register gives %v", err)
	}
	if err := m.Extend(whole, func(int, int) {}); err != nil {
		t.Fatal(err)
	}
	if len(m.Check) != 11 || len(m.Check.Differing()) != 0 || !m.Bundle.Complete() {
		t.Errorf("check gives %+v", m.Check)
	}
	if s := m.Session().ID; s != example.First || m.Choice().Outcome != "power" || !m.Choice().Imperial ||
		m.ViewName() != "mine" {
		t.Errorf("after growing %s is looked at, with %q", s, m.Choice().Fragment())
	}
	if m.AnswerDiffers {
		t.Error("the published answer is taken for another")
	}
	other := *whole.Index.Answer
	other.Rankings = slices.Clone(other.Rankings)
	other.Rankings[0].Places = slices.Clone(other.Rankings[0].Places)
	slices.Reverse(other.Rankings[0].Places)
	index := *whole.Index
	index.Answer = &other
	misled := *whole
	misled.Index = &index
	if !opening(t, &misled).AnswerDiffers {
		t.Error("another order in the index is not found")
	}
	do(m, On(DoTrim, "head_s"), "90")
	if !m.Choice().Changed() || m.Yours() == m.Published() {
		t.Error("a change does nothing")
	}
}

func TestInitialSelection(t *testing.T) {
	index := answered(t).Index
	for fragment, want := range map[string]string{
		"": example.ByHand, "session=" +
			example.First: example.First, "session=gone": example.ByHand, "head_s=90": "everything",
		"units=imperial": example.ByHand,
		"session=" + example.First + "&beside=" + example.Second + ",gone": example.First + " " +
			example.Second,
		"session=" + example.First + "&beside=" + example.Second + "," + example.ByHand: "everything",
	} {
		got := InitialSelection(index, fragment)
		words := strings.Join(got.Sessions, " ")
		if got.All {
			words = "everything"
		}
		if words != want {
			t.Errorf("%q fetches %q, want %q", fragment, words, want)
		}
	}
	index.Answer = nil
	if !InitialSelection(index, "").All {
		t.Error("without an answer not everything is fetched")
	}
}
