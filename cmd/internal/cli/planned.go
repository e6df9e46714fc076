package cli

import (
	"fmt"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/draw"
	"soletrial/pipeline/trial"
)

// planRecords looks at every plan of the dataset. It is shown to people and never
// derived: what git knows is not part of the dataset.
func (a *app) planRecords(ds *trial.Dataset) []trial.PlanHistory {
	var list []trial.PlanHistory
	var h *history
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.Plan == nil {
			continue
		}
		if h == nil {
			h = openHistory(a.dir)
		}
		r := h.planOf(s)
		if orders, err := draw.Again(s.Plan); err != nil {
			r.Text += "; the draw cannot be made again: " + err.Error()
		} else {
			r.Orders = len(orders)
			r.Text += fmt.Sprintf("; drawn from %s", compare.Count(len(orders), "order"))
		}
		list = append(list, r)
	}
	return list
}

// planOf says what the history tells about the plan of one session.
func (h *history) planOf(s *trial.Session) trial.PlanHistory {
	r := trial.PlanHistory{Session: s.ID, State: trial.PlanUnknown}
	path := s.Folder() + "/plan.yaml"
	if h.why != "" {
		r.Text = "nothing is proved about when the plan was made: " + h.why
		return r
	}
	versions := h.commits(path)
	if len(versions) == 0 {
		r.State, r.Text = trial.PlanUncommitted, "the plan is not committed, so nothing shows when it was made"
		return r
	}
	samples := h.commits(sampleFiles(s)...)
	if len(samples) == 0 {
		h.waits(&r, s, path, versions)
		return r
	}
	r.Samples, r.SamplesTime = samples[0].hash, samples[0].time
	held := -1 // the last version before the samples
	for i, v := range versions {
		if h.before(v, samples[0]) {
			held = i
		}
	}
	if held < 0 {
		r.State, r.Plan, r.PlanTime = trial.PlanAfter, versions[0].hash, versions[0].time
		r.Text = fmt.Sprintf("the plan (%s) was not committed before the samples (%s): it proves nothing", versions[0], samples[0])
		return r
	}
	r.Plan, r.PlanTime, r.Redrawn = versions[held].hash, versions[held].time, held
	r.State = trial.PlanBefore
	r.Text = fmt.Sprintf("planned (%s) before the samples were committed (%s), unchanged since", versions[held], samples[0])
	if !h.sameAs(versions[held], path) {
		r.State = trial.PlanChanged
		r.Text = fmt.Sprintf("planned (%s) before the samples were committed (%s), but changed since: the plan that was run is the one committed then", versions[held], samples[0])
	}
	if held > 0 {
		r.Text += "; " + plural(held, "earlier version was", "earlier versions were") + " committed before it"
	}
	return r
}

// waits describes a plan without committed samples.
func (h *history) waits(r *trial.PlanHistory, s *trial.Session, path string, versions []commit) {
	last := versions[len(versions)-1]
	r.Plan, r.PlanTime, r.Redrawn, r.State = last.hash, last.time, len(versions)-1, trial.PlanWaiting
	r.Text = fmt.Sprintf("planned (%s), not run yet", last)
	switch {
	case !h.sameAs(last, path):
		r.State, r.Text = trial.PlanUncommitted, fmt.Sprintf("the plan differs from what was committed (%s): commit it before the run", last)
	case len(s.Blocks) > 0 || len(s.Facts.Recordings) > 0:
		r.Text = fmt.Sprintf("planned (%s) before any samples were committed", last)
	}
}

// sampleFiles are the files of a session that hold what was run.
func sampleFiles(s *trial.Session) []string {
	files := []string{s.Folder() + "/blocks.csv"}
	for _, r := range s.Facts.Recordings {
		files = append(files, s.Folder()+"/"+r.File)
	}
	return files
}

func (a *app) printPlans(records []trial.PlanHistory) {
	if len(records) == 0 {
		return
	}
	a.printf("plans\n")
	shown := false
	for _, r := range records {
		a.hang("  "+r.Session+": ", r.Text)
		shown = shown || r.State == trial.PlanBefore || r.State == trial.PlanWaiting
	}
	if shown {
		a.hang("  ", "(days are by the committer's clock, and a history can be rewritten until someone else has a copy: push a plan before the run)")
	}
}
