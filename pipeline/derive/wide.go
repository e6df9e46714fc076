package derive

import (
	"path"
	"slices"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

// included gathers the summaries of the blocks that take part, in the order of
// the sessions.
func included(sessions []SessionResult) []steady.Summary {
	var summaries []steady.Summary
	for _, s := range sessions {
		for _, b := range s.Blocks {
			if b.Included {
				summaries = append(summaries, b.Summary)
			}
		}
	}
	return summaries
}

// prints gathers what tells the recordings of a dataset apart.
func prints(ds *trial.Dataset, inputs []plaintext.Input) []quality.Print {
	content := make(map[string]string, len(inputs))
	for _, in := range inputs {
		content[in.Path] = in.SHA256
	}
	var list []quality.Print
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		for _, r := range s.Facts.Recordings {
			list = append(list, quality.Print{Session: s.ID, File: r.File, Source: r.SourceSha256, Content: content[path.Join(s.Folder(), r.File)]})
		}
	}
	return list
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
						b.Included, b.Reason = false, "held by "+f.Rule
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
	var counted []sensor.OfSession
	for _, s := range r.Sessions {
		in := map[string]bool{}
		for _, b := range s.Blocks {
			in[b.Block] = b.Included
		}
		of := sensor.OfSession{Session: s.ID}
		for _, ratio := range s.Ratios {
			if in[ratio.Block] {
				of.Ratios = append(of.Ratios, ratio)
			}
		}
		counted = append(counted, of)
	}
	r.Sensor = sensor.Tabulate(counted)
	for i := range r.Compare.Comparisons {
		c := &r.Compare.Comparisons[i]
		c.SensorErrorPct = r.Sensor.ErrorPct(c.Outcome, c.Effort, c.Shoe, c.Reference)
	}
	r.Compare.AddSensorDetail()
}

// sensorTable: the checks over the dataset, then session by session.
func sensorTable(r *Result) []byte {
	w := newCSV("scope", "session", "shoe", "check", "ratio", "sd", "blocks", "agree_low", "agree_high")
	for _, rows := range [][]sensor.Row{r.Sensor.Dataset, r.Sensor.Sessions} {
		for _, row := range rows {
			scope := "dataset"
			if row.Session != "" {
				scope = "session"
			}
			for _, s := range []string{scope, row.Session, row.Shoe, row.Check} {
				w.str(s)
			}
			w.num(row.Ratio, 6)
			w.num(row.SD, 6)
			w.count(row.Blocks)
			w.num(row.Low, 6)
			w.num(row.High, 6)
			w.end()
		}
	}
	return w.text
}
