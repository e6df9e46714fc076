package app

import (
	"fmt"
	"strings"
	"testing"

	"soletrial/viewer/internal/example"
)

// brought cuts the example's first recording as the dataset does.
func brought(t *testing.T) (*Model, []byte) {
	t.Helper()
	m := opened(t)
	text := m.Bundle.Files["sessions/"+example.First+"/footpod.csv"]
	if !m.Bring("mine.csv", text) {
		t.Fatal(m.Notice)
	}
	do(m, DoOwnMore, "", DoOwnMore, "", DoOwnTarget, "260")
	for i, b := range m.Dataset.Session(example.First).Blocks {
		do(m, On(DoOwnCell, fmt.Sprintf("%d/%d", i, OwnShoe)), b.Shoe, On(DoOwnCell, fmt.Sprintf("%d/%d", i, OwnStart)), fmt.Sprint(b.Start),
			On(DoOwnCell, fmt.Sprintf("%d/%d", i, OwnEnd)), fmt.Sprint(b.End))
	}
	return m, text
}

// TestOwnAgreesWithTheDataset: the same recording cut the same way gives what the
// published session gives within itself.
func TestOwnAgreesWithTheDataset(t *testing.T) {
	m, _ := brought(t)
	o := m.Own()
	if o.Problem != "" || o.Result == nil {
		t.Fatalf("no result: %s", o.Problem)
	}
	compared := 0
	for _, within := range m.Published().Compare.Sessions {
		if within.Session != example.First {
			continue
		}
		c := o.Result.Compare.Find(within.Outcome, within.Level, within.Shoe, within.Reference)
		if c == nil {
			continue // only what decides is compared
		}
		compared++
		if Words(c) != Words(&within.Comparison) {
			t.Errorf("%s against %s: %s, published within the session %s", c.Shoe, c.Reference, Words(c), Words(&within.Comparison))
		}
	}
	if compared != 3 {
		t.Errorf("%d pairs compared", compared)
	}
	if m.Choice().Changed() || m.Yours() != m.Published() {
		t.Error("an own recording changes the published reading")
	}
	before := Words(&o.Result.Compare.Comparisons[0])
	do(m, On(DoTrim, "head_s"), "120")
	if after := Words(&o.Result.Compare.Comparisons[0]); after == before {
		t.Errorf("another trim leaves %s", after)
	}
}

func TestOwnSaysWhatIsWrong(t *testing.T) {
	m, text := brought(t)
	if m.Bring("bad.csv", []byte("elapsed_s,power_w\n0,x\n1,y\n")) || !strings.Contains(m.Notice, "bad.csv:2") || !strings.Contains(m.Notice, "1 more problem") {
		t.Errorf("a broken recording: %q", m.Notice)
	}
	if m.Own().Name != "mine.csv" {
		t.Error("a broken recording replaces a sound one")
	}
	for _, step := range [][3]string{{DoOwnTarget, "260 W", "what was held"}, {DoOwnTarget, "260", ""}, {On(DoOwnCell, "1/1"), "9:99", "block 2 needs"}, {On(DoOwnCell, "1/1"), "7:30", ""},
		{On(DoOwnCell, "0/0"), " ", "block 1 needs"}, {On(DoOwnCell, "9/9"), "x", "block 1 needs"}} {
		if do(m, step[0], step[1]); !strings.Contains(m.Own().Problem, step[2]) || step[2] == "" && m.Own().Problem != "" {
			t.Errorf("%s %q: %q", step[0], step[1], m.Own().Problem)
		}
	}
	if m.Bring("again.csv", text); !strings.Contains(m.Own().Problem, "what was held") {
		t.Errorf("a new recording: %q", m.Own().Problem)
	}
	if do(m, DoOwnForget, ""); m.Own() != nil || m.OwnText() != nil {
		t.Error("a deleted recording is still there")
	}
	do(m, DoOwnMore, "") // without a recording nothing happens
}

func TestOwnIsKept(t *testing.T) {
	m, text := brought(t)
	do(m, On(DoOwnCell, "0/0"), "a, b\nc")
	cut := m.OwnText()
	again := opened(t)
	again.SetOwn(cut, text)
	if o := again.Own(); o == nil || string(again.OwnText()) != string(cut) || o.Rows[0][OwnShoe] != "a, b\nc" || o.Result == nil || again.Notice != "" {
		t.Errorf("kept %q, brought back %q", cut, again.OwnText())
	}
	other := opened(t)
	other.SetOwn([]byte("x"), text)
	if other.SetOwn(cut, []byte("no recording")); other.Own() != nil {
		t.Error("what cannot be read is brought back")
	}
}
