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
