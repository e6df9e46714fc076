package app

import (
	"slices"
	"strings"

	"soletrial/pipeline/derive"
	"soletrial/viewer/load"
)

// PartialResult says what was derived here of a bundle that is not complete.
type PartialResult struct {
	Sessions, Of int
	Differing    []string // blocks, as session/block, whose row is not the published one
}

// InitialSelection returns what has to be fetched before the controls can be used for the
// fragment of an address: the published answer, and the sums where they are small or the
// fragment changes the analysis. The samples of the session shown come right after, see
// [Model.Needs]. Without a published answer it is everything.
func InitialSelection(index *load.Index, fragment string) load.Selection {
	if index.Answer == nil || len(index.Answer.Sessions) == 0 || len(index.Sums) == 0 {
		return load.Selection{All: true}
	}
	c, _ := ParseFragment(fragment)
	return load.Selection{Comparisons: c.Comparisons, Sums: c.Changed() || c.Outcome != "" || sumsAreSmall(index)}
}

// smallSums is up to how many bytes of sums are fetched before anybody asks for them.
const smallSums = 200_000

func sumsAreSmall(index *load.Index) bool {
	bytes := int64(0)
	for _, file := range index.Sums {
		bytes += file.Bytes
	}
	return bytes <= smallSums
}

// sessionsOf lists the sessions that are there and those that a choice looks at: the last one
// where it names none.
func sessionsOf(c Choice, all, there []string) []string {
	sessions := slices.Clone(there)
	if !slices.Contains(all, c.Session) {
		c.Session = all[len(all)-1]
	}
	for _, id := range append([]string{c.Session}, c.Overlaid...) {
		if slices.Contains(all, id) && !slices.Contains(sessions, id) {
			sessions = append(sessions, id)
		}
	}
	return sessions
}

// Needs returns what must be fetched to show what is chosen; more is false when nothing is.
func (m *Model) Needs() (want load.Selection, more bool) {
	b := m.Bundle
	if b.Complete() {
		return load.Selection{}, false
	}
	if m.WantAll {
		return load.Selection{All: true}, true
	}
	there := m.LoadedSessions()
	want = load.Selection{Sessions: sessionsOf(m.choice, m.SessionIDs(), there), Sums: b.HasSums() || m.Changed(),
		Comparisons: m.choice.Comparisons || b.Derived[load.ComparisonsTable] != nil}
	return want, len(want.Sessions) > len(there) || want.Sums != b.HasSums() ||
		want.Comparisons != (b.Derived[load.ComparisonsTable] != nil)
}

// LoadedSessions lists the sessions that were run and whose files are there.
func (m *Model) LoadedSessions() []string {
	var ids []string
	for _, s := range m.Dataset.SessionsRun() {
		ids = append(ids, s.ID)
	}
	return ids
}

// SessionIDs lists all published sessions that were run, by date.
func (m *Model) SessionIDs() []string {
	if m.Bundle.Complete() {
		return m.LoadedSessions()
	}
	return m.Bundle.Index.Answer.Sessions
}

// Extend replaces the bundle by one with more files and keeps what the reader chose, also
// while this works. After an error everything is as it was.
func (m *Model) Extend(bundle *load.Bundle, step func(done, of int)) error {
	extended, err := Open(bundle, step)
	if err != nil {
		return err
	}
	if m.Bundle.Complete() {
		return nil // another call was faster
	}
	extended.choice, extended.past, extended.future, extended.lastAction = m.choice, m.past, m.future, m.lastAction
	extended.cursor, extended.Notice, extended.Trying, extended.WantAll = m.cursor, m.Notice, m.Trying, m.WantAll
	extended.ownColumns, extended.ownDoubt, extended.ownReading = m.ownColumns, m.ownDoubt, m.ownReading
	extended.own, extended.ownNotice, extended.views, extended.viewName = m.own, m.ownNotice, m.views, m.viewName
	extended.viewsRead, extended.beside, extended.Failed = m.viewsRead, m.beside, m.Failed
	extended.SavesData = m.SavesData
	extended.Persistent, extended.Width, extended.SummarisedBlocks = m.Persistent, m.Width, m.SummarisedBlocks
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
	var err error
	if m.blockRows, err = parseTable(m.Bundle.Derived[load.BlocksTable]); err != nil {
		return err
	}
	for i := range m.publishedSessions {
		m.checkBlocks(&m.publishedSessions[i], m.blockRows)
	}
	if m.readBack, err = readStandings(m.Bundle); err != nil {
		return err
	}
	if m.published.Compare.Comparisons, err = readComparisons(m.Bundle); err != nil {
		return err
	}
	for _, name := range []string{load.RankingTable, load.ComparisonsTable} {
		m.published.Tables = append(m.published.Tables, derive.Table{
			Name: strings.TrimPrefix(name, tablesFolder), Text: m.Bundle.Derived[name],
		})
	}
	return nil
}

// checkBlocks compares a derived session with its published rows and takes from them
// whether its blocks are included.
func (m *Model) checkBlocks(s *derive.SessionResult, published []row) {
	at := map[string]row{}
	for _, r := range published {
		if r.text("session") == s.ID {
			at[r.text("block")] = r
		}
	}
	for i := range s.Blocks {
		r := at[s.Blocks[i].Block]
		s.Blocks[i].Included, s.Blocks[i].Reason = r.text("included") == "yes", r.text("reason")
	}
	here, _ := parseTable(derive.BlocksTable([]derive.SessionResult{*s}))
	for _, r := range here {
		if !r.same(at[r.text("block")]) {
			m.Partial.Differing = append(m.Partial.Differing, s.ID+"/"+r.text("block"))
		}
		delete(at, r.text("block"))
	}
	for i := range published {
		if block := published[i].text("block"); published[i].text("session") == s.ID && at[block].cells != nil {
			m.Partial.Differing = append(m.Partial.Differing, s.ID+"/"+block)
		}
	}
}

// levelOf puts an effort and its target together as [trial.Level] does.
func levelOf(effort, target string) string { return strings.TrimSuffix(effort+" "+target, " ") }
