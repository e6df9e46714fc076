package app

import (
	"fmt"
	"slices"
	"strings"
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
		m.viewName = value[:min(len(value), maxNameBytes)]
	case kind == DoSaveView:
		m.saveView(strings.TrimSpace(strings.ToValidUTF8(m.viewName, "")))
	case at < 0:
	case kind == DoOpenView:
		before := m.choice
		m.Follow(m.views[at].Fragment)
		m.undo = &before
	case kind == DoDeleteView:
		m.views = slices.Delete(slices.Clone(m.views), at, at+1)
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
		m.Notice = fmt.Sprintf("%d views are kept already; delete one first.", maxViews)
		return
	}
	m.views, m.viewName = append(views, SavedView{name, m.choice.Fragment()}), ""
	m.Notice = fmt.Sprintf("The view %q is kept in this browser.", name)
	if !m.Persistent {
		m.Notice = fmt.Sprintf("The view %q is kept until this page is closed: your browser keeps nothing for this "+
			"site.", name)
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

// RestoreViews reads what [Model.ViewsText] wrote; lines that are none are left out.
func (m *Model) RestoreViews(text []byte) {
	m.views = nil
	for _, line := range strings.Split(string(text), "\n") {
		if name, fragment, ok := strings.Cut(line, "#"); ok && name != "" {
			m.views = append(m.views, SavedView{unescape(name), fragment})
		}
	}
}
