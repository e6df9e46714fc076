package derive

import (
	"strings"

	"soletrial/pipeline/trial"
)

// Session summarises and checks one session. The recordings are not kept.
func Session(ds *trial.Dataset, session *trial.Session, recordings []trial.Recording) SessionResult {
	return Prepare(ds, recordings).Session(ds, session)
}

// inclusion says whether a block is included, and why not or why after all: a
// person's no comes first, then the findings that hold it, then the overrides that
// let it pass.
func inclusion(block *trial.Block, findings []trial.Finding) (included bool, reason string) {
	if block.Excluded {
		return false, block.Reason
	}
	var held, overridden []string
	for _, f := range findings {
		if f.Block != "" && f.Block != block.ID || f.Severity != trial.Stop {
			continue
		}
		if f.Holds() {
			held = append(held, string(f.Rule))
		} else {
			overridden = append(overridden, string(f.Rule)+" overridden: "+f.Override)
		}
	}
	if len(held) > 0 {
		return false, "excluded by " + strings.Join(held, ", ")
	}
	return true, strings.Join(overridden, "; ")
}
