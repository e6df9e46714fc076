package cli

import (
	"bytes"
	"crypto/sha1"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"os"
	"path/filepath"
	"strings"
	"time"

	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// planRecords looks at every plan of the dataset. It is shown to people and never
// derived: what git knows is not part of the dataset, and not the same in every
// clone.
func (a *app) planRecords(ds *trial.Dataset) []trial.PlanHistory {
	var list []trial.PlanHistory
	var h *history
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.Plan == nil {
			continue
		}
		if h == nil {
			h = openHistory(a.Dataset)
		}
		r := h.planOf(s)
		if orders, err := randomise.Again(s.Plan); err != nil {
			r.Text += "; the draw cannot be made again: " + err.Error()
		} else {
			r.Orders = len(orders)
			r.Text += fmt.Sprintf("; drawn from %s", units.Count(len(orders), "order"))
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
	versions := h.versions(path)
	if len(versions) == 0 {
		r.State, r.Text = trial.PlanUncommitted, "the plan is not committed, so nothing shows when it was made"
		return r
	}
	samples := h.samples(s)
	if len(samples) == 0 {
		h.waits(&r, s, path, versions)
		return r
	}
	first := h.commits[samples[0]]
	r.Samples, r.SamplesTime = first.hash, first.time
	held := h.lastBefore(versions, samples)
	if held < 0 {
		plan := h.commits[versions[0].commit]
		r.State, r.Plan, r.PlanTime = trial.PlanAfter, plan.hash, plan.time
		r.Text = fmt.Sprintf("the plan (%s) was not committed before the samples (%s): it proves nothing", plan, first)
		if plan.hash == first.hash {
			r.Text = fmt.Sprintf("the plan and the samples came in one commit (%s): planned late, or a history that was squashed or moved here; it proves nothing", plan)
		}
		return r
	}
	h.held(&r, s, path, versions, held, first)
	return r
}

// lastBefore is the last version that every commit of samples was made on top of; -1
// for none.
func (h *history) lastBefore(versions []change, samples []int) int {
	last := -1
	for i, v := range versions {
		all := true
		for _, c := range samples {
			all = all && h.before(v.commit, c)
		}
		if all {
			last = i
		}
	}
	return last
}

// held describes a plan that was committed before the samples were.
func (h *history) held(r *trial.PlanHistory, s *trial.Session, path string, versions []change, held int, first commit) {
	plan := h.commits[versions[held].commit]
	r.Plan, r.PlanTime, r.Redrawn = plan.hash, plan.time, held
	switch late := lateBy(plan, s); {
	case late != "":
		r.State = trial.PlanLate
		r.Text = fmt.Sprintf("the plan (%s) was committed before the samples (%s), but %s: made afterwards, or a history that was rewritten (amended, rebased); it proves nothing", plan, first, late)
	case !h.sameAs(versions[held], path):
		r.State = trial.PlanChanged
		r.Text = fmt.Sprintf("planned (%s) before the samples were committed (%s), but changed since: the plan that was run is the one committed then", plan, first)
	default:
		r.State = trial.PlanBefore
		r.Text = fmt.Sprintf("planned (%s) before the samples were committed (%s), unchanged since", plan, first)
	}
	if r.State != trial.PlanLate && apart(plan.born, plan.time) > time.Minute {
		r.Text += fmt.Sprintf("; that commit was made anew (amended or rebased): first written %s, by its author's word", plan.born[:min(len(plan.born), 10)])
	}
	if name := versions[0].from; name != "" {
		r.Text += fmt.Sprintf("; its beginning, as %s, was not found", name)
	} else if len(h.changes[path]) < len(versions) {
		r.Text += "; under another name before, found again by its content"
	}
	if held > 0 {
		r.Text += "; " + units.Plural(held, "earlier version was", "earlier versions were") + " committed before it"
	}
}

// lateBy says how a commit's own time speaks against a plan: it is later than the
// start of the session or, where that is not known to the hour or has no zone, than
// its day; "" where it does not.
func lateBy(c commit, s *trial.Session) string {
	made, err := time.Parse(time.RFC3339, c.time)
	if err != nil {
		return ""
	}
	if start, err := time.Parse(time.RFC3339, s.Facts.Date+"T"+s.Facts.Start); err == nil {
		if made.After(start) {
			return "its commit is dated after the start of the session (" + c.time + ", " + s.Facts.Date + "T" + s.Facts.Start + ")"
		}
		return ""
	}
	if s.Facts.Date != "" && c.day() > s.Facts.Date {
		return "its commit is dated after the day of the session"
	}
	return ""
}

func apart(a, b string) time.Duration {
	x, errX := time.Parse(time.RFC3339, a)
	y, errY := time.Parse(time.RFC3339, b)
	if errX != nil || errY != nil {
		return 0
	}
	return y.Sub(x).Abs()
}

// waits describes a plan without committed samples.
func (h *history) waits(r *trial.PlanHistory, s *trial.Session, path string, versions []change) {
	at := versions[len(versions)-1]
	last := h.commits[at.commit]
	r.Plan, r.PlanTime, r.Redrawn, r.State = last.hash, last.time, len(versions)-1, trial.PlanWaiting
	r.Text = fmt.Sprintf("planned (%s), not run yet", last)
	switch {
	case !h.sameAs(at, path):
		r.State, r.Text = trial.PlanUncommitted, fmt.Sprintf("the plan differs from what was committed (%s): commit it before the run", last)
	case len(s.Blocks) > 0 || len(s.Facts.Recordings) > 0:
		r.Text = fmt.Sprintf("planned (%s) before any samples were committed", last)
	}
}

// samples lists the commits that brought what was run, the one written first at the
// head.
func (h *history) samples(s *trial.Session) []int {
	files := []string{s.Folder() + "/blocks.csv"}
	for _, r := range s.Facts.Recordings {
		files = append(files, s.Folder()+"/"+r.File)
	}
	var list []int
	for _, file := range files {
		for _, version := range h.versions(file) {
			list = append(list, version.commit)
			if n := len(list) - 1; list[n] < list[0] {
				list[0], list[n] = list[n], list[0]
			}
		}
	}
	return list
}

// sameAs reports whether a file is still what it was in a version, apart from line
// ends.
func (h *history) sameAs(version change, path string) bool {
	is, err := os.ReadFile(filepath.Join(h.dir, filepath.FromSlash(path)))
	unix := bytes.ReplaceAll(is, []byte("\r\n"), []byte("\n"))
	return err == nil && (blobOf(is, len(version.blob)) == version.blob || blobOf(unix, len(version.blob)) == version.blob)
}

// blobOf is git's name for a file's content, of the given number of digits.
func blobOf(text []byte, digits int) string {
	var sum hash.Hash = sha1.New()
	if digits > 2*sha1.Size {
		sum = sha256.New()
	}
	fmt.Fprintf(sum, "blob %d\x00", len(text))
	sum.Write(text)
	return hex.EncodeToString(sum.Sum(nil))
}

func (a *app) printPlans(records []trial.PlanHistory) {
	if len(records) == 0 {
		return
	}
	a.Printf("plans\n")
	shown := false
	for _, r := range records {
		a.PrintHanging("  "+r.Session+": ", r.Text)
		shown = shown || r.State == trial.PlanBefore || r.State == trial.PlanWaiting
	}
	if shown {
		a.PrintHanging("  ", "(days are by the committer's clock, and a history can be rewritten until someone else has a copy: push a plan before the run)")
	}
}

// planWords are how the states are told in one line for all sessions.
var planWords = []struct {
	state trial.PlanState
	words string
}{
	{trial.PlanBefore, "committed before the samples, unchanged since"}, {trial.PlanChanged, "committed before the samples, changed since"},
	{trial.PlanLate, "dated after the run"}, {trial.PlanAfter, "not before the samples"}, {trial.PlanWaiting, "waiting to be run"},
	{trial.PlanUncommitted, "not committed"}, {trial.PlanUnknown, "nothing proved about when"},
}

// plansLine says in a sentence what the history shows about the plans; "" without
// sessions.
func plansLine(records []trial.PlanHistory, sessions int) string {
	switch {
	case sessions == 0:
		return ""
	case len(records) == 0:
		return "No session has a plan."
	}
	var parts []string
	for _, w := range planWords {
		n := 0
		for _, r := range records {
			if r.State == w.state {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, w.words))
		}
	}
	return fmt.Sprintf("Plans: %d of %s have one: %s (`soletrial check` says why).", len(records), units.Count(sessions, "session"), strings.Join(parts, ", "))
}
