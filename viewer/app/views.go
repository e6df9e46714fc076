package app

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/derive"
)

// SavedView is a choice that the reader keeps in their browser under a name.
type SavedView struct{ Name, Fragment string }

// Actions on saved views.
const (
	DoNameView   = "name" // what the next view is to be called
	DoSaveView   = "keep" // the choice as it is, under that name
	DoOpenView   = "open" // on a name
	DoDeleteView = "drop" // on a name
)

// maxNameBytes is how many bytes a view's name may have, maxViews how many views
// are kept.
const (
	maxNameBytes = 60
	maxViews     = 50
)

// ViewName returns the name typed for the next view.
func (m *Model) ViewName() string { return m.viewName }

// Views lists the saved views, oldest first.
func (m *Model) Views() []SavedView { return m.views }

// doView takes one action on saved views.
func (m *Model) doView(kind, name, value string) {
	at := slices.IndexFunc(m.views, func(v SavedView) bool { return v.Name == name })
	switch {
	case kind == DoNameView:
		m.viewName = clipTitle(value)
	case kind == DoSaveView:
		m.saveView(strings.TrimSpace(strings.ToValidUTF8(m.viewName, "")))
	case at < 0:
	case kind == DoOpenView:
		before, past := m.choice, m.past
		m.Follow(m.views[at].Fragment)
		m.choice.Title = m.views[at].Name
		m.past = append(past, before)
	case kind == DoDeleteView:
		m.views = slices.Delete(slices.Clone(m.views), at, at+1)
		m.beside = slices.DeleteFunc(m.beside, func(other string) bool { return other == name })
		m.Notice = fmt.Sprintf("The view %q is deleted.", name)
	}
}

// saveView saves the choice under a name; one of that name is replaced.
func (m *Model) saveView(name string) {
	if name == "" {
		m.Notice = "Write a name for this view first."
		return
	}
	views := slices.DeleteFunc(slices.Clone(m.views), func(v SavedView) bool { return v.Name == name })
	if len(views) == maxViews {
		m.Notice = fmt.Sprintf("%d views are saved already; delete one first.", maxViews)
		return
	}
	delete(m.besideCached, name) // it was of the view that is replaced
	m.choice.Title = name
	m.views, m.viewName = append(views, SavedView{name, m.choice.Fragment()}), ""
	m.Notice = fmt.Sprintf("The view %q is saved in this browser.", name)
	if !m.Persistent {
		m.Notice = fmt.Sprintf("The view %q is saved until this page is closed: your browser keeps nothing for "+
			"this site.", name)
	}
}

// ViewsText writes the saved views for the store: on each line a name, escaped, a
// number sign and the fragment.
func (m *Model) ViewsText() []byte {
	var text []byte
	for _, v := range m.views {
		text = append(text, escape(v.Name)+"#"+v.Fragment+"\n"...)
	}
	return text
}

// RestoreViews takes over what [Model.ViewsText] wrote, on an earlier visit.
func (m *Model) RestoreViews(text []byte) {
	m.views = parseViews(text)
	m.ViewsStored(text)
}

// ViewsStored says that the store has what [Model.ViewsText] gave.
func (m *Model) ViewsStored(text []byte) { m.viewsRead = parseViews(text) }

// MergeViews takes over what the store has by now, where another tab may have written: views
// that were saved there are added, those deleted there go, and what was saved or deleted here
// since it was last read stays so. What [Model.ViewsText] gives then is to be written, and
// [Model.ViewsStored] follows once it is.
func (m *Model) MergeViews(text []byte) {
	var savedHere, merged []SavedView
	for _, v := range m.views {
		if !slices.Contains(m.viewsRead, v) {
			savedHere = append(savedHere, v)
		}
	}
	for _, v := range parseViews(text) { // unless deleted or replaced here
		replaced := slices.ContainsFunc(savedHere, func(other SavedView) bool { return other.Name == v.Name })
		if !replaced && (slices.Contains(m.views, v) || !slices.Contains(m.viewsRead, v)) {
			merged = append(merged, v)
		}
	}
	m.views, m.besideCached = append(merged, savedHere...), nil
	m.ViewsStored(text)
}

// parseViews reads views; lines that are none are left out.
func parseViews(text []byte) (views []SavedView) {
	for _, line := range strings.Split(string(text), "\n") {
		if name, fragment, ok := strings.Cut(line, "#"); ok && name != "" {
			views = append(views, SavedView{unescape(name), fragment})
		}
	}
	return views
}

// clipTitle shortens a name to what is kept of it.
func clipTitle(text string) string { return text[:min(len(text), maxNameBytes)] }

// maxBeside is how many saved views the figure shows beside the published answer.
const maxBeside = 2

// showView shows a saved view in the figure, or no longer; the one shown longest makes room.
func (m *Model) showView(name string, on bool) {
	m.beside = slices.DeleteFunc(slices.Clone(m.beside), func(other string) bool { return other == name })
	if on {
		m.beside = append(m.beside, name)
		m.beside = m.beside[max(0, len(m.beside)-maxBeside):]
	}
}

// Beside lists the saved views that the figure shows, by name.
func (m *Model) Beside() []string { return m.beside }

// BesideStandings returns the answers under a saved view, against the reader's reference shoe;
// none while they cannot be worked out yet.
func (m *Model) BesideStandings(name string) []Standing {
	at := slices.IndexFunc(m.views, func(v SavedView) bool { return v.Name == name })
	if at < 0 || !m.Bundle.Complete() && !m.ReadSums() {
		return nil
	}
	if m.besideCached[name] == nil {
		other := *m
		other.Follow(m.views[at].Fragment)
		other.choice.Reference, other.choice.Effort = m.choice.Reference, m.choice.Effort
		other.choice.Comparisons = false
		other.interactive, other.own = derive.NewInteractive(m.inputs), nil
		other.yours, other.beside, other.changedSessions = nil, nil, make([]cachedSession, len(m.changedSessions))
		other.Recompute()
		if m.besideCached == nil {
			m.besideCached = map[string][]Standing{}
		}
		m.besideCached[name] = other.Standings()
	}
	return m.besideCached[name]
}

// LinkFragment is the fragment of a link to the view as it is, with the name that is typed for
// it.
func (m *Model) LinkFragment() string {
	c := m.choice
	if name := strings.TrimSpace(strings.ToValidUTF8(m.viewName, "")); name != "" {
		c.Title = name
	}
	return c.Fragment()
}
