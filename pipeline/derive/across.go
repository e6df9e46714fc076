package derive

import (
	"cmp"
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// includedSummaries lists the summaries of the included blocks in the order of the
// sessions.
func includedSummaries(sessions []SessionResult) []*steady.Summary {
	summaries := make([]*steady.Summary, 0, countBlocks(sessions))
	for i := range sessions {
		for j := range sessions[i].Blocks {
			if b := &sessions[i].Blocks[j]; b.Included {
				summaries = append(summaries, &b.Summary)
			}
		}
	}
	return summaries
}

// countBlocks counts the blocks of some sessions, included or not.
func countBlocks(sessions []SessionResult) (n int) {
	for i := range sessions {
		n += len(sessions[i].Blocks)
	}
	return n
}

// hashesByPath returns the SHA-256 of the inputs by path.
func hashesByPath(inputs []plaintext.Input) map[string]string {
	content := make(map[string]string, len(inputs))
	for i := range inputs {
		content[inputs[i].Path] = inputs[i].SHA256
	}
	return content
}

// excludeHeld excludes the blocks of sessions that a finding across sessions holds.
// What was given is not changed.
func excludeHeld(sessions []SessionResult, acrossSessions []trial.Finding) []SessionResult {
	held := slices.Clone(sessions)
	for _, f := range acrossSessions {
		for i := range held {
			if s := &held[i]; f.Holds() && s.ID == f.Session {
				s.Blocks = slices.Clone(s.Blocks)
				for j := range s.Blocks {
					if b := &s.Blocks[j]; b.Included {
						b.Included, b.Reason = false, "excluded by "+string(f.Rule)
					}
				}
			}
		}
	}
	return held
}

// sortedFindings puts the findings within and across sessions together: first those
// about the dataset, then by session in dataset order, within it those about the
// whole session first, then by block in order; several about one block keep the
// order of the rule table.
func sortedFindings(ds *trial.Dataset, sessions []SessionResult, acrossSessions []trial.Finding) []trial.Finding {
	var found []placedFinding
	for i := range sessions {
		for j := range sessions[i].Findings {
			found = append(found, placeFinding(ds, i, &sessions[i].Findings[j]))
		}
	}
	for i := range acrossSessions {
		about := len(ds.Sessions) - 1
		for about >= 0 && ds.Sessions[about].ID != acrossSessions[i].Session {
			about--
		}
		found = append(found, placeFinding(ds, about, &acrossSessions[i]))
	}
	stable.Sort(found, func(f, g placedFinding) int {
		return cmp.Or(cmp.Compare(f.session, g.session), cmp.Compare(f.block, g.block))
	})
	findings := make([]trial.Finding, len(found))
	for i, f := range found {
		findings[i] = *f.Finding
	}
	return findings
}

// placedFinding is a finding with the places of its session and its block, -1 without
// one.
type placedFinding struct {
	*trial.Finding
	session, block int
}

func placeFinding(ds *trial.Dataset, session int, f *trial.Finding) placedFinding {
	p := placedFinding{f, session, -1}
	if session >= 0 && f.Block != "" {
		blocks := ds.Sessions[session].Blocks
		for p.block = len(blocks) - 1; p.block >= 0 && blocks[p.block].ID != f.Block; {
			p.block--
		}
	}
	return p
}

// observations are the included blocks as the comparison sees them.
func observations(ds *trial.Dataset, sessions []SessionResult) []compare.Observation {
	all := make([]compare.Observation, 0, countBlocks(sessions))
	for i := range sessions {
		s, session := &sessions[i], &ds.Sessions[i]
		for j := range s.Blocks {
			b := &s.Blocks[j]
			if !b.Included {
				continue
			}
			all = append(all, compare.Observation{
				Session: s.ID, Date: session.Facts.Date, Runner: session.Facts.Runner, Block: b.Block, Shoe: b.Shoe,
				Effort: session.Effort(), Target: b.Target, MeanEffort: b.MeanEffort, Midpoint: b.Midpoint,
				Order: b.Order, Outcomes: b.Outcomes,
			})
		}
	}
	return all
}
