package derive

import (
	"slices"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// included gathers the summaries of the blocks that take part, in the order of
// the sessions.
func included(sessions []SessionResult) []*steady.Summary {
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

// hashes returns the SHA-256 of the inputs by path.
func hashes(inputs []plaintext.Input) map[string]string {
	content := make(map[string]string, len(inputs))
	for i := range inputs {
		content[inputs[i].Path] = inputs[i].SHA256
	}
	return content
}

// holdOut leaves out the blocks of sessions that a finding across sessions holds.
// What was given is not changed.
func holdOut(sessions []SessionResult, wide []trial.Finding) []SessionResult {
	held := slices.Clone(sessions)
	for _, f := range wide {
		for i := range held {
			if s := &held[i]; f.Holds() && s.ID == f.Session {
				s.Blocks = slices.Clone(s.Blocks)
				for j := range s.Blocks {
					if b := &s.Blocks[j]; b.Included {
						b.Included, b.Reason = false, "held by "+string(f.Rule)
					}
				}
			}
		}
	}
	return held
}

// tryTheSensor tabulates the sensor checks of the blocks that take part and gives
// every comparison the largest difference between its two shoes that bears on it.
func (r *Result) tryTheSensor() {
	for i := range r.Sessions {
		r.Sensor.Add(r.Sessions[i].ID, r.Sessions[i].included())
	}
	errors := r.Sensor.Errors()
	for i := range r.Compare.Comparisons {
		c := &r.Compare.Comparisons[i]
		c.SensorErrorPct = errors.Pct(c.Outcome, c.Effort, c.Shoe, c.Reference)
	}
	r.Compare.AddSensorDetail()
}

// included returns the ratios of the blocks that take part.
func (s *SessionResult) included() []sensor.Ratio {
	var out []string
	for i := range s.Blocks {
		if b := &s.Blocks[i]; !b.Included {
			out = append(out, b.Block)
		}
	}
	if len(out) == 0 {
		return s.Ratios
	}
	var in []sensor.Ratio
	for i := range s.Ratios {
		if r := &s.Ratios[i]; !slices.Contains(out, r.Block) {
			in = append(in, *r)
		}
	}
	return in
}

// sensorTable: the checks over the dataset, then session by session.
func sensorTable(r *Result) []byte {
	w := newCSV("scope", "session", "shoe", "check", "ratio", "sd", "blocks")
	w.expect(len(r.Sensor.Dataset)+len(r.Sensor.Sessions), 60)
	for _, rows := range [][]sensor.Row{r.Sensor.Dataset, r.Sensor.Sessions} {
		for i := range rows {
			row := &rows[i]
			if row.Session == "" {
				w.str("dataset")
			} else {
				w.str("session")
			}
			w.str(row.Session)
			w.str(row.Shoe)
			w.str(row.Check)
			w.num(row.Ratio(), 6)
			w.num(row.SD(), 6)
			w.count(row.Blocks())
			w.end()
		}
	}
	return w.text
}
