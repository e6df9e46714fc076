package quality

import (
	"fmt"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// Scope is what a rule looks at.
type Scope string

// The scopes, from narrow to wide.
const (
	OfRecording Scope = "recording"
	OfBlock     Scope = "block"
	OfSession   Scope = "session"
	OfDataset   Scope = "dataset"
)

// Rule is one line of the rule table, in words for people. The checks that
// belong to it live beside the other checks of its scope.
type Rule struct {
	Slug       string // its name in findings, overrides and `explain`
	Title      string
	Scope      Scope
	Severities []trial.Severity // that it can give, heaviest first
	Looks      string           // what it measures
	Limit      string           // the limit and the key in dataset.yaml that sets it
	Source     string           // where the limit comes from
	Fix        string           // what to do

	session func(*sessionCheck)
	dataset func(*datasetCheck)
}

// Rules returns the rule table in its documented order.
func Rules() []Rule { return append([]Rule(nil), table...) }

// RuleNamed returns the rule with the given slug.
func RuleNamed(slug string) (Rule, bool) {
	for _, r := range table {
		if r.Slug == slug {
			return r, true
		}
	}
	return Rule{}, false
}

// sessionCheck is what the rules of one session see and where they report.
type sessionCheck struct {
	dataset    *trial.Dataset
	session    *trial.Session
	recordings []trial.Recording
	sources    [trial.ChannelCount]*trial.Recording
	blocks     []steady.Summary
	limits     trial.Limits
	rule       string
	found      []trial.Finding
}

// report adds a finding about block i of the session, or about the whole
// session when i is negative.
func (c *sessionCheck) report(i int, f trial.Finding) {
	f.Session, f.Rule, f.At = c.session.ID, c.rule, c.session.At
	if i >= 0 {
		f.Block, f.At = c.session.Blocks[i].ID, c.session.Blocks[i].At
	}
	if f.Severity == trial.Stop {
		f.Override = c.settled(i, f)
	}
	c.found = append(c.found, f)
}

// settled returns the written reason why a stop needs no more attention: its
// block was left out by hand, or an override lets it pass.
func (c *sessionCheck) settled(i int, f trial.Finding) string {
	if i >= 0 && c.session.Blocks[i].Excluded {
		return "left out by hand: " + c.session.Blocks[i].Reason
	}
	return overridden(c.session, f)
}

// overridden returns the reason of the first override that lets a finding pass.
func overridden(s *trial.Session, f trial.Finding) string {
	for _, o := range s.Facts.Overrides {
		if o.Rule == f.Rule && (o.Block == "" || o.Block == f.Block) {
			return o.Reason
		}
	}
	return ""
}

// datasetCheck is what the rules over the whole dataset see.
type datasetCheck struct {
	dataset  *trial.Dataset
	sessions map[string]*trial.Session
	blocks   []steady.Summary
	prints   []Print
	rule     string
	found    []trial.Finding
}

// report adds a finding about the dataset, or about the session that it names.
func (c *datasetCheck) report(f trial.Finding) {
	f.Rule = c.rule
	if s := c.sessions[f.Session]; s != nil {
		f.At = s.At
		if f.Severity == trial.Stop {
			f.Override = overridden(s, f)
		}
	}
	c.found = append(c.found, f)
}

// Print tells one recording from another without its samples. A hash that is not
// known is "".
type Print struct {
	Session, File   string
	Source, Content string // SHA-256 of the file it was imported from, and of the recording itself
}

// Session runs every rule that looks at one session. Recordings and blocks are
// the session's own; blocks are the summaries of session.Blocks, in order.
func Session(ds *trial.Dataset, session *trial.Session, recordings []trial.Recording, blocks []steady.Summary) []trial.Finding {
	c := &sessionCheck{dataset: ds, session: session, recordings: recordings, blocks: blocks, limits: ds.Facts.Limits}
	c.sources = steady.Sources(ds.Facts.Method, recordings)
	for _, rule := range table {
		if rule.session != nil {
			c.rule = rule.Slug
			rule.session(c)
		}
	}
	return c.found
}

// Dataset runs every rule that looks across sessions, given the summaries of the
// blocks that are compared and the prints of all recordings, both in the order of
// the sessions.
func Dataset(ds *trial.Dataset, blocks []steady.Summary, prints []Print) []trial.Finding {
	c := &datasetCheck{dataset: ds, blocks: blocks, prints: prints, sessions: make(map[string]*trial.Session, len(ds.Sessions))}
	for i := range ds.Sessions {
		c.sessions[ds.Sessions[i].ID] = &ds.Sessions[i]
	}
	for _, rule := range table {
		if rule.dataset != nil {
			c.rule = rule.Slug
			rule.dataset(c)
		}
	}
	return c.found
}

// counted writes a number with its noun, in the plural where needed.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
