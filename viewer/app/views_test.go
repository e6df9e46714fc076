package app

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/viewer/internal/example"
)

func TestSavedViews(t *testing.T) {
	m := opened(t)
	do(m, DoSaveView, "")
	if len(m.Views()) != 0 || !strings.Contains(m.Notice, "name") {
		t.Errorf("a view without a name is kept: %v, %q", m.Views(), m.Notice)
	}
	do(m, DoSession, example.First, On(DoTrim, "head_s"), "90", DoNameView, " late start ", DoSaveView, "")
	late := m.Choice().Fragment()
	if m.ViewName() != "" || len(m.Views()) != 1 || m.Views()[0] != (SavedView{"late start", late}) {
		t.Fatalf("kept %v, viewName %q", m.Views(), m.ViewName())
	}
	do(m, DoReset, "", On(DoOpenView, "late start"), "")
	if m.Choice().Fragment() != late || m.Trim().HeadS != 90 {
		t.Errorf("opened, the view reads %q", m.Choice().Fragment())
	}
	if do(m, DoUndo, ""); m.Choice().Changed() {
		t.Errorf("undoing leads to %q", m.Choice().Fragment())
	}
	do(m, DoNameView, "late start", DoSaveView, "", On(DoOpenView, "nothing"), "", On(DoDeleteView, "nothing"), "")
	if len(m.Views()) != 1 || m.Views()[0].Fragment == late {
		t.Errorf("one of the same name is not replaced: %v", m.Views())
	}
	if do(m, On(DoDeleteView, "late start"), ""); len(m.Views()) != 0 {
		t.Errorf("deleted, there is %v", m.Views())
	}
}

func TestSavedViewsReadBack(t *testing.T) {
	m := opened(t)
	rapid.Check(t, func(t *rapid.T) {
		m.views = nil
		for range rapid.IntRange(0, 60).Draw(t, "how many") {
			m.doView(DoNameView, "", rapid.String().Draw(t, "name"))
			m.doView(DoSaveView, "", "")
		}
		if len(m.views) > maxViews {
			t.Fatalf("%d views", len(m.views))
		}
		before := append([]SavedView(nil), m.views...)
		m.RestoreViews(append([]byte("no view\n#\n"), m.ViewsText()...))
		if len(m.views) != len(before) {
			t.Fatalf("%d views become %d", len(before), len(m.views))
		}
		for i := range before {
			if m.views[i] != before[i] {
				t.Fatalf("%q becomes %q", before[i], m.views[i])
			}
		}
	})
}

// Two tabs write to one store, one after the other: what either saves, replaces or deletes counts
// in both, and what could not be written is still there.
func TestViewsOfTwoTabs(t *testing.T) {
	here, there := opened(t), opened(t)
	var stored []byte
	write := func(m *Model, fails bool) {
		if stored != nil {
			m.MergeViews(stored)
		}
		if !fails {
			stored = m.ViewsText()
			m.ViewsStored(stored)
		}
	}
	save := func(m *Model, name, trim string) {
		do(m, On(DoTrim, "head_s"), trim, DoNameView, name, DoSaveView, "")
	}
	has := func(after string, m *Model, want string) {
		t.Helper()
		got := ""
		for _, v := range m.Views() {
			_, trim, _ := strings.Cut(v.Fragment, "head_s=")
			trim, _, _ = strings.Cut(trim, "&")
			got += v.Name + trim + " "
		}
		if got != want {
			t.Errorf("%s there are %s, want %s", after, got, want)
		}
	}

	save(here, "a", "31")
	write(here, false)
	there.RestoreViews(stored)
	save(there, "a", "32")
	write(there, false)
	save(here, "b", "33")
	write(here, false)
	has("after a view was replaced there", here, "a32 b33 ")

	save(here, "c", "34")
	write(here, true)
	has("after one could not be written", here, "a32 b33 c34 ")
	save(here, "d", "35")
	write(here, false)
	has("after the next one could be", here, "a32 b33 c34 d35 ")

	do(there, On(DoDeleteView, "a"), "")
	write(there, false)
	has("after one was deleted there", there, "b33 c34 d35 ")
	save(here, "c", "36")
	write(here, false)
	has("after one was replaced here", here, "b33 d35 c36 ")
	do(here, On(DoDeleteView, "b"), "")
	write(here, false)
	write(there, false)
	has("after one was deleted here", there, "d35 c36 ")
}

// The first view that a store gets can be deleted by another tab.
func TestTheFirstViewIsDeletedByAnotherTab(t *testing.T) {
	here, there := opened(t), opened(t)
	do(here, DoNameView, "first", DoSaveView, "")
	text := here.ViewsText()
	here.ViewsStored(text)
	there.RestoreViews(text)
	do(there, On(DoDeleteView, "first"), "")
	if here.MergeViews(there.ViewsText()); len(here.Views()) != 0 {
		t.Errorf("it came back: %v", here.Views())
	}
}

// A view in the figure that is saved again under its name is the new one in the figure too.
func TestAReplacedViewIsReplacedInTheFigure(t *testing.T) {
	m := opened(t)
	do(m, On(DoTrim, "head_s"), "15", DoNameView, "late", DoSaveView, "", On(DoCompare, "late"), "true",
		On(DoTrim, "head_s"), "150")
	before := m.BesideStandings("late")
	do(m, DoNameView, "late", DoSaveView, "")
	after, want := m.BesideStandings("late"), m.Standings()
	if got := after[0].Shoes[0].Against; got != want[0].Shoes[0].Against || got == before[0].Shoes[0].Against {
		t.Errorf("the figure has %v, before %v, the answer is %v", got, before[0].Shoes[0].Against,
			want[0].Shoes[0].Against)
	}
}
