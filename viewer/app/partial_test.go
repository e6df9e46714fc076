package app

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/checksum"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/sums"
	"soletrial/pipeline/trial"
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
	said := m.PublishedSaid()
	short := said
	short.Size = ""
	answer := &load.Answer{
		Headline: said.Headline(), Short: short.Headline(), Size: said.Size, Evidence: said.Evidence,
		Sessions: m.LoadedSessions(),
	}
	bundle.Index.Answer = answer
	return bundle
}

// only leaves of a bundle what is fetched for one session.
func only(whole *load.Bundle, session string) *load.Bundle {
	part := *whole
	part.Sums = nil
	part.Files, part.Derived = maps.Clone(whole.Files), load.Folder{}
	maps.DeleteFunc(part.Files, func(path string, _ []byte) bool {
		return strings.HasPrefix(path, "sessions/") && !strings.HasPrefix(path, "sessions/"+session+"/")
	})
	for _, table := range []string{load.RankingTable, load.ComparisonsTable, load.BlocksTable} {
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
	short := derived.PublishedSaid()
	short.Size = ""
	if m.PublishedSaid().Advice != short.Headline() || m.Yours() != m.Published() {
		t.Error("the headline is another")
	}
	sameStandings(t, m.Standings(), derived.Standings(), 1e-3)
	seen := 0
	for _, o := range derived.Outcomes() {
		do(m, DoPlain, "true", DoOutcome, o.Info().ID)
		do(derived, DoPlain, "true", DoOutcome, o.Info().ID)
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

// sameStandings compares two lists of answers, the numbers within a tolerance in percent.
func sameStandings(t *testing.T, got, want []Standing, tolerance float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d answers, want %d", len(got), len(want))
	}
	close := func(a, b float64) bool { return math.Abs(a-b) <= tolerance || math.IsNaN(a) && math.IsNaN(b) }
	for i, w := range want {
		g := got[i]
		if g.Effort != w.Effort || g.Outcome != w.Outcome || g.Status != w.Status || len(g.Shoes) != len(w.Shoes) {
			t.Fatalf("answer %d is %+v, want %+v", i, g, w)
		}
		for j := range w.Shoes {
			a, b := g.Shoes[j], w.Shoes[j]
			if a.Shoe != b.Shoe || a.Reference != b.Reference || !close(a.Best, b.Best) ||
				!close(a.Against.Value, b.Against.Value) || !close(a.Against.Low, b.Against.Low) ||
				!close(a.Against.High, b.Against.High) {
				t.Errorf("answer %d has %+v, want %+v", i, a, b)
			}
		}
	}
}

// summed gives a bundle the 5-second sums as publish makes them.
func summed(t *testing.T, whole *load.Bundle) *load.Bundle {
	t.Helper()
	m := opening(t, whole)
	recordings := func(s *trial.Session) ([]trial.Recording, []trial.Problem) { return m.recordings[s.ID], nil }
	text := sums.Write(derive.Sums(m.published, recordings, 1))
	with, index := *whole, *whole.Index
	index.Sums = []load.File{{Path: "sums/2026.csv", Bytes: int64(len(text)), SHA256: checksum.SHA256(text)}}
	with.Index, with.Sums = &index, load.Folder{"sums/2026.csv": text}
	return &with
}

// The first change is answered from the sums: as published while nothing is changed, and close
// to the exact answer under any change; evidence, which rests on the samples, is left out.
func TestSumsAnswerTheFirstChange(t *testing.T) {
	whole := summed(t, answered(t))
	part := *only(whole, example.First)
	part.Sums = whole.Sums
	m, derived := opening(t, &part), opening(t, whole)
	sameStandings(t, m.PublishedStandings(), derived.PublishedStandings(), 1e-4)
	do(m, DoSession, example.First)
	for _, change := range [][]string{
		{On(DoTrim, "head_s"), "80"}, {On(DoTrim, "tail_s"), "30"}, {DoDrift, "false"}, {DoExponent, "0.8"},
		{DoReference, "birk"}, {On(DoBlock, example.First+"/2"), "false"}, {DoReset, ""},
	} {
		do(m, change...)
		do(derived, change...)
		derived.Refine()
		if m.Changed() != m.FromSums() {
			t.Errorf("after %q from the sums: %v", change, m.FromSums())
		}
		sameStandings(t, m.Standings(), derived.Standings(), 0.15)
	}
	do(m, On(DoTrim, "head_s"), "90")
	if said := m.Said(); said.Evidence != "" || said.Headline() == "" {
		t.Errorf("from the sums it says %+v", said)
	}
	if want, more := m.Needs(); more {
		t.Errorf("with the sums it needs %+v", want)
	}
	if err := m.Extend(whole, func(int, int) {}); err != nil {
		t.Fatal(err)
	}
	do(derived, On(DoTrim, "head_s"), "90")
	if m.Trim() != derived.Trim() || m.FromSums() {
		t.Errorf("with the samples the choice is %q", m.Choice().Fragment())
	}
	sameStandings(t, m.Standings(), derived.Standings(), 0)
}

// At rest the answer is what a derive under the same choice gives, to the last bit.
func TestSettledIsDerived(t *testing.T) {
	m := opened(t)
	do(m, On(DoTrim, "head_s"), "90", On(DoBlock, example.First+"/2"), "false")
	if !m.Refine() || m.Refine() {
		t.Error("a change settles once")
	}
	want := deriveInFull(m)
	sameStandings(t, m.Standings(), m.standingsOf(want.Answers), 0)
	m.TryAll(func() {})
	_, g := m.Analyses()
	_, w := want.Answers.Top()
	if g == nil || len(g.Analyses) != len(w.Analyses) || g.Lead.Evidence != w.Lead.Evidence {
		t.Errorf("the analyses are %v", g)
	}
	if got, want := m.Said().Headline(), answer.NewSpeaker(want.Dataset, want.Answers).Top().Headline(); got != want {
		t.Errorf("it says %q, a derive %q", got, want)
	}
	do(m, DoWorst, "")
	if m.Notice == "" && !m.CanUndo() {
		t.Error("the worst case changes nothing and says nothing")
	}
}

func TestWhatIsFetched(t *testing.T) {
	whole := summed(t, answered(t))
	for _, c := range []struct {
		action, value string
		want          load.Selection
	}{
		{DoZoom, "in", load.Selection{}}, {DoUnits, "imperial", load.Selection{}},
		{DoSession, example.First, load.Selection{}}, {DoReset, "", load.Selection{}},
		{DoSession, example.Second, load.Selection{Sessions: []string{example.First, example.Second}}},
		{On(DoOverlay, example.Second), "true", load.Selection{Sessions: []string{example.First, example.Second}}},
		{DoSession, "nowhere", load.Selection{Sessions: []string{example.First, example.ByHand}}},
		{On(DoTrim, "head_s"), "90", load.Selection{Sums: true, Sessions: []string{example.First}}},
		{DoReference, "birk", load.Selection{Sums: true, Sessions: []string{example.First}}},
		{On(DoBlock, example.First+"/2"), "false", load.Selection{Sums: true, Sessions: []string{example.First}}},
		{DoFollow, "session=" + example.First + "&head_s=90", load.Selection{Sums: true,
			Sessions: []string{example.First}}},
		{DoDerive, "", load.Selection{All: true}},
	} {
		m := opening(t, only(whole, example.First))
		do(m, DoSession, example.First, c.action, c.value)
		got, more := m.Needs()
		got.Comparisons = false // they are there in this bundle
		if more != (fmt.Sprint(c.want) != fmt.Sprint(load.Selection{})) ||
			more && fmt.Sprint(got) != fmt.Sprint(c.want) {
			t.Errorf("%s %s fetches %+v, %v", c.action, c.value, got, more)
		}
	}
	m := opening(t, only(whole, ""))
	if want, more := m.Needs(); !more || fmt.Sprint(want.Sessions) != fmt.Sprint([]string{example.ByHand}) ||
		m.Session() != nil {
		t.Errorf("without any session it needs %+v", want)
	}
	if m.SavesData = true; m.CanBeExact() {
		t.Error("everything is fetched for a reader who saves data")
	}
	if _, more := opening(t, whole).Needs(); more {
		t.Error("a whole dataset needs more")
	}
}

func TestExtendKeepsTheChoice(t *testing.T) {
	whole := answered(t)
	m := opening(t, only(whole, example.First))
	do(m, DoSession, example.First, DoOutcome, "power", DoUnits, "imperial", DoNameView, "mine")
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
		t.Errorf("after growing %s is shown, with %q", s, m.Choice().Fragment())
	}
	if m.AnswerDiffers {
		t.Error("the published answer is taken for another")
	}
	other := *whole.Index.Answer
	other.Evidence = "Evidence: solid beyond doubt."
	index := *whole.Index
	index.Answer = &other
	misled := *whole
	misled.Index = &index
	if !opening(t, &misled).AnswerDiffers {
		t.Error("another evidence in the index is not found")
	}
	do(m, On(DoTrim, "head_s"), "90")
	if !m.Choice().Changed() || m.Yours() == m.Published() {
		t.Error("a change does nothing")
	}
}

func TestInitialSelection(t *testing.T) {
	index := summed(t, answered(t)).Index
	for _, fragment := range []string{"", "session=" + example.First, "head_s=90", "units=imperial"} {
		if got := InitialSelection(index, fragment); !got.Equal(load.Selection{Sums: true}) {
			t.Errorf("%q fetches %+v", fragment, got)
		}
	}
	if !InitialSelection(index, "comparisons=shown").Comparisons {
		t.Error("the comparisons that a link shows are not fetched")
	}
	index.Sums[0].Bytes = smallSums + 1
	if InitialSelection(index, "").Sums || !InitialSelection(index, "head_s=90").Sums {
		t.Error("many sums are not left for when they are asked for")
	}
	index.Answer = nil
	if !InitialSelection(index, "").All {
		t.Error("without an answer not everything is fetched")
	}
}

// Where nothing is left to compare at the effort that the published answer speaks of, that is
// said; no other effort takes its place. While a control moves the words are those at rest.
func TestNothingLeftKeepsTheQuestion(t *testing.T) {
	m := opened(t)
	question := m.Question()
	if question != trial.Power || !strings.HasPrefix(m.Said().Headline(), "No clear winner yet.") {
		t.Fatalf("the question is %q, the answer %q", question, m.Said().Headline())
	}
	for _, head := range []string{"70", "100", "150", "290"} {
		do(m, On(DoTrim, "head_s"), head)
		moving := m.Said()
		m.Refine()
		if rest := m.Said(); rest.Headline() != moving.Headline() || rest.Evidence != moving.Evidence {
			t.Errorf("at %s s it says %q while the control moves, %q at rest", head, moving, rest)
		}
	}
	if said := m.Said().Headline(); !strings.HasPrefix(said, "No answer at the same power. Nothing is left") ||
		m.Question() != question {
		t.Errorf("with nothing left it says %q", said)
	}
	if m.SameAnswer() {
		t.Error("an answer that is gone is taken for the same")
	}
	for i, s := range m.Standings() {
		if s.Effort == question && len(s.Shoes) > 0 {
			t.Errorf("standing %d still compares %d shoes", i, len(s.Shoes))
		}
	}
	if do(m, DoReset, ""); !strings.HasPrefix(m.Said().Headline(), "No clear winner yet.") {
		t.Errorf("back to published it says %q", m.Said().Headline())
	}
}

// A published answer that a sensor could have made is known as such before the samples are
// there, when the sums give another.
func TestPublishedBlockIsKnownFromTheSums(t *testing.T) {
	whole := summed(t, answered(t))
	part := *only(whole, example.First)
	part.Sums = whole.Sums
	m := opening(t, &part)
	if m.PublishedBlocked() {
		t.Error("an open answer is taken for a blocked one")
	}
	for i := range m.readBack {
		if m.readBack[i].Effort == m.Question() {
			m.readBack[i].Status = decide.Blocked
		}
	}
	if do(m, On(DoTrim, "head_s"), "90"); !m.FromSums() || !m.PublishedBlocked() {
		t.Error("after a change the block is forgotten")
	}
}

// A session that is planned and still to be run is not one to look at, though it is the last.
func TestSessionToComeIsNotShown(t *testing.T) {
	m := opened(t)
	m.Dataset.Sessions = append(m.Dataset.Sessions, trial.Session{ID: "to-come", Plan: &trial.PlanFacts{}})
	if s := m.Session(); s == nil || s.ID != example.ByHand || slices.Contains(m.SessionIDs(), "to-come") {
		t.Errorf("session %v of %v", s, m.SessionIDs())
	}
}
