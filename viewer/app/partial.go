package app

import (
	"slices"
	"strings"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/viewer/load"
)

// PartialResult says what was derived here of a bundle that is not complete.
type PartialResult struct {
	Sessions, Of int
	Differing    []string // blocks, as session/block, whose row is not the published one
}

// InitialSelection returns what has to be fetched before anything can be shown for the
// fragment of an address: the published answer with the sessions looked at, or
// everything where the fragment changes the analysis.
func InitialSelection(index *load.Index, fragment string) load.Selection {
	c, _ := ParseFragment(fragment)
	if index.Answer == nil || len(index.Answer.Sessions) == 0 {
		return load.Selection{All: true}
	}
	all := index.Answer.Sessions
	if !slices.Contains(all, c.Session) {
		c.Session = all[len(all)-1]
	}
	return selectionFor(index, nil, c)
}

// selectionFor returns what a choice needs besides the sessions that are there.
func selectionFor(index *load.Index, there []string, c Choice) load.Selection {
	sessions := slices.Clone(there)
	for _, id := range append([]string{c.Session}, c.Overlaid...) {
		if slices.Contains(index.Answer.Sessions, id) && !slices.Contains(sessions, id) {
			sessions = append(sessions, id)
		}
	}
	if c.Changed() || len(sessions) == len(index.Answer.Sessions) {
		return load.Selection{All: true}
	}
	return load.Selection{Sessions: sessions}
}

// Requires returns what must be fetched before an action can be taken; more is false
// when nothing is.
func (m *Model) Requires(action, value string) (want load.Selection, more bool) {
	if m.Bundle.Complete() {
		return load.Selection{}, false
	}
	c, there := AsPublished(), m.LoadedSessions()
	kind, what, _ := strings.Cut(action, " ")
	switch kind {
	case DoTrim, DoEdge, DoReference, DoDrift, DoExponent, DoBlock, DoReason, DoDerive:
		return load.Selection{All: true}, true
	case DoSession:
		c.Session = value
	case DoOverlay:
		c.Overlaid = []string{what}
	case DoFollow:
		c, _ = ParseFragment(value)
	case DoOpenView:
		for _, v := range m.views {
			if v.Name == what {
				c, _ = ParseFragment(v.Fragment)
			}
		}
	}
	want = selectionFor(m.Bundle.Index, there, c)
	return want, want.All || len(want.Sessions) > len(there)
}

// LoadedSessions lists the sessions whose files are there.
func (m *Model) LoadedSessions() []string {
	var ids []string
	for i := range m.Dataset.Sessions {
		ids = append(ids, m.Dataset.Sessions[i].ID)
	}
	return ids
}

// SessionIDs lists all published sessions by date.
func (m *Model) SessionIDs() []string {
	if m.Bundle.Complete() {
		return m.LoadedSessions()
	}
	return m.Bundle.Index.Answer.Sessions
}

// Extend replaces the bundle by one with more files and keeps what the reader chose.
// After an error everything is as it was.
func (m *Model) Extend(bundle *load.Bundle, step func(done, of int)) error {
	extended, err := Open(bundle, step)
	if err != nil {
		return err
	}
	shown := m.Session()
	extended.choice, extended.undo, extended.lastAction, extended.cursor = m.choice, m.undo, m.lastAction, m.cursor
	extended.own, extended.ownNotice, extended.views, extended.viewName = m.own, m.ownNotice, m.views, m.viewName
	extended.Persistent, extended.Width, extended.SummarisedBlocks = m.Persistent, m.Width, m.SummarisedBlocks
	if shown != nil && extended.Session().ID != shown.ID {
		extended.choice.Session = shown.ID
	}
	*m = *extended
	m.Recompute()
	return nil
}

// readAnswer reads the published answer. The sessions that are there are derived;
// whether their blocks are included is as published, since that depends on all
// sessions.
func (m *Model) readAnswer() error {
	if !m.Bundle.HasAnswer() {
		return &load.AnswerError{}
	}
	m.published = &derive.Result{Dataset: m.Dataset, Sessions: m.publishedSessions}
	m.Partial = PartialResult{Sessions: len(m.publishedSessions), Of: len(m.Bundle.Index.Answer.Sessions)}
	blocks, err := parseTable(m.Bundle.Derived[load.BlocksTable])
	if err != nil {
		return err
	}
	for i := range m.publishedSessions {
		m.checkBlocks(&m.publishedSessions[i], blocks)
	}
	m.published.Compare, err = readComparisons(m.Bundle)
	m.published.Tables = []derive.Table{{
		Name: strings.TrimPrefix(load.ComparisonsTable, tablesFolder), Text: m.Bundle.Derived[load.ComparisonsTable],
	}}
	return err
}

// checkBlocks compares a derived session with its published rows and takes from them
// whether its blocks are included.
func (m *Model) checkBlocks(s *derive.SessionResult, published []row) {
	at := map[string]row{}
	for _, r := range published {
		if r["session"] == s.ID {
			at[r["block"]] = r
		}
	}
	for i := range s.Blocks {
		r := at[s.Blocks[i].Block]
		s.Blocks[i].Included, s.Blocks[i].Reason = r["included"] == "yes", r["reason"]
	}
	here, _ := parseTable(derive.BlocksTable([]derive.SessionResult{*s}))
	for _, r := range here {
		if !r.same(at[r["block"]]) {
			m.Partial.Differing = append(m.Partial.Differing, s.ID+"/"+r["block"])
		}
		delete(at, r["block"])
	}
	for i := range published {
		if block := published[i]["block"]; published[i]["session"] == s.ID && at[block] != nil {
			m.Partial.Differing = append(m.Partial.Differing, s.ID+"/"+block)
		}
	}
}

// levelOf puts an effort and its target together as [trial.Level] does.
func levelOf(effort, target string) string { return strings.TrimSuffix(effort+" "+target, " ") }

// effortOf returns the effort that a level names.
func effortOf(level string) trial.Effort {
	effort, _, _ := strings.Cut(level, " ")
	return trial.Effort(effort)
}
