package quality

import (
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// sessionCheck is what the rules of one session see and where they report.
type sessionCheck struct {
	dataset    *trial.Dataset
	session    *trial.Session
	recordings []trial.Recording
	sources    [trial.ChannelCount]*trial.Recording
	screening  *Screening
	blocks     []steady.Summary
	limits     *trial.Limits
	rule       trial.RuleSlug // that runs
	found      []trial.Finding
}

// say reports something about block i of the session, or about the whole session
// when i is negative. Of a block that somebody excluded by hand (a rest, a sensor that
// came loose) only that it departs from the plan is worth a finding: its own reason says
// why it does not count, and nothing rests on it.
func (c *sessionCheck) say(i int, severity trial.Severity, value, limit float64, message string) {
	if i >= 0 && c.session.Blocks[i].Excluded && c.rule != PlanDeparted {
		return
	}
	f := trial.Finding{Session: c.session.ID, Rule: c.rule, Severity: severity, Value: value, Limit: limit,
		Message: message, At: c.session.At}
	if i >= 0 {
		f.Block, f.At = c.session.Blocks[i].ID, c.session.Blocks[i].At
	}
	if severity == trial.Stop {
		f.Override = overridden(c.session, &f)
	}
	c.found = append(c.found, f)
}

// overridden returns the reason of the first override that lets a finding pass.
func overridden(s *trial.Session, f *trial.Finding) string {
	for i := range s.Facts.Overrides {
		if o := &s.Facts.Overrides[i]; o.Rule == f.Rule && (o.Block == "" || o.Block == f.Block) {
			return o.Reason
		}
	}
	return ""
}

// datasetCheck is what the rules over the whole dataset see.
type datasetCheck struct {
	dataset  *trial.Dataset
	sessions []*trial.Session  // that have blocks which are compared, in their order
	blocks   []*steady.Summary // that are compared
	run      []share           // how many in each shoe
	content  map[string]string // SHA-256 of the files, by path
	rule     trial.RuleSlug    // that runs
	found    []trial.Finding
}

// say reports something at a place of the dataset.
func (c *datasetCheck) say(at trial.Position, severity trial.Severity, value, limit float64, message string) {
	c.found = append(c.found, trial.Finding{Rule: c.rule, Severity: severity, Value: value, Limit: limit,
		Message: message, At: at})
}

// stop reports something that keeps a session out.
func (c *datasetCheck) stop(s *trial.Session, message string) {
	f := trial.Finding{Session: s.ID, Rule: c.rule, Severity: trial.Stop, Value: units.Missing, Limit: units.Missing,
		Message: message, At: s.At}
	f.Override = overridden(s, &f)
	c.found = append(c.found, f)
}

// Session runs every rule about one session, whose recordings were screened. Blocks are
// the summaries of session.Blocks, in order.
func (s *Screening) Session(ds *trial.Dataset, session *trial.Session, blocks []steady.Summary) []trial.Finding {
	c := &sessionCheck{dataset: ds, session: session, recordings: s.recordings, sources: s.sources, screening: s,
		blocks: blocks, limits: &ds.Facts.Limits}
	for _, table := range [][]rule[sessionCheck]{recordingRules, blockRules, sessionRules} {
		for _, r := range table {
			c.rule = r.slug
			r.check(c)
		}
	}
	return c.found
}

// Dataset runs every rule about the whole dataset, given the summaries of the
// blocks that are compared, in the order of the sessions, and the SHA-256 of the
// dataset's files by path.
func Dataset(ds *trial.Dataset, blocks []*steady.Summary, content map[string]string) []trial.Finding {
	c := &datasetCheck{dataset: ds, sessions: compared(ds, blocks), blocks: blocks, run: perShoe(blocks),
		content: content}
	for _, r := range datasetRules {
		c.rule = r.slug
		r.check(c)
	}
	return c.found
}

// ExcludingFindings is [Dataset] by the one rule that can keep a session out, for whoever needs to
// know what is compared and nothing else.
func ExcludingFindings(ds *trial.Dataset, content map[string]string) []trial.Finding {
	c := &datasetCheck{dataset: ds, content: content, rule: RecordingTwice}
	recordingTwice(c)
	return c.found
}

// compared lists the sessions of blocks that are in the order of the sessions.
func compared(ds *trial.Dataset, blocks []*steady.Summary) []*trial.Session {
	list := make([]*trial.Session, 0, len(ds.Sessions))
	next := 0
	for _, b := range blocks {
		if n := len(list); n > 0 && list[n-1].ID == b.Session {
			continue
		}
		for ds.Sessions[next].ID != b.Session {
			next++
		}
		list = append(list, &ds.Sessions[next])
	}
	return list
}
