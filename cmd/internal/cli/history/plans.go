package history

import (
	"bytes"
	"crypto/sha1"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"os"
	"path/filepath"
	"time"

	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Plans says of every plan of a dataset what the history of its folder shows, in the
// order of the sessions; sessions without a plan have no entry.
func Plans(dir string, ds *trial.Dataset) []trial.PlanHistory {
	var list []trial.PlanHistory
	var h *history
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.Plan == nil {
			continue
		}
		if h == nil {
			h = open(dir)
		}
		r := h.planOf(s)
		if orders, err := randomise.Orders(s.Plan); err != nil {
			r.Text += "; the order cannot be reproduced: " + err.Error()
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
	// No history, or no plan in it.
	path := s.Folder() + "/plan.yaml"
	if h.unavailable != "" {
		r.Text = "the date of the plan cannot be proved: " + h.unavailable
		return r
	}
	versions := h.versions(path)
	if len(versions) == 0 {
		r.State, r.Text = trial.PlanUncommitted, "the plan is not committed, so nothing shows when it was made"
		return r
	}
	// A plan whose samples are not there yet waits for them.
	samples := h.samples(s)
	if len(samples) == 0 {
		h.describeWaiting(&r, s, path, versions)
		return r
	}
	// A plan proves something only where a version of it is older than the samples.
	first := h.commits[samples[0]]
	r.Samples, r.SamplesTime = first.hash, first.committed
	n := h.lastVersionBefore(versions, samples)
	if n < 0 {
		plan := h.commits[versions[0].commit]
		r.State, r.Plan, r.PlanTime = trial.PlanAfter, plan.hash, plan.committed
		r.Text = fmt.Sprintf("the plan (%s) was not committed before the samples (%s), so it proves nothing",
			plan, first)
		if plan.hash == first.hash {
			r.Text = fmt.Sprintf("the plan and the samples came in one commit (%s): planned late, "+
				"or a history that was squashed or moved here; it proves nothing", plan)
		}
		return r
	}
	h.describeCommitted(&r, s, path, versions, n, first)
	return r
}

// lastVersionBefore is the last version that every commit of samples was made on top
// of; -1 for none.
func (h *history) lastVersionBefore(versions []change, samples []int) int {
	last := -1
	for i, v := range versions {
		all := true
		for _, c := range samples {
			all = all && h.isAncestor(v.commit, c)
		}
		if all {
			last = i
		}
	}
	return last
}

// describeCommitted describes a plan whose n-th version was committed before the
// samples were.
func (h *history) describeCommitted(
	r *trial.PlanHistory, s *trial.Session, path string, versions []change, n int, samples commit,
) {
	plan := h.commits[versions[n].commit]
	r.Plan, r.PlanTime, r.Redrawn = plan.hash, plan.committed, n
	// Whether it proves anything.
	switch conflict := dateConflict(plan, s); {
	case conflict != "":
		r.State = trial.PlanLate
		r.Text = fmt.Sprintf("the plan (%s) was committed before the samples (%s), but %s: made afterwards, "+
			"or a history that was rewritten (amended, rebased); it proves nothing", plan, samples, conflict)
	case !h.onDisk(versions[n], path):
		r.State = trial.PlanChanged
		r.Text = fmt.Sprintf("planned (%s) before the samples were committed (%s), but changed since: "+
			"the plan that was run is the one committed then", plan, samples)
	default:
		r.State = trial.PlanBefore
		r.Text = fmt.Sprintf("planned (%s) before the samples were committed (%s), unchanged since", plan, samples)
	}
	// What a reader should know of its commits.
	if r.State != trial.PlanLate && timeBetween(plan.authored, plan.committed) > time.Minute {
		r.Text += fmt.Sprintf(
			"; that commit was rewritten (amended or rebased): first written %s according to its author",
			plan.authored[:min(len(plan.authored), 10)])
	}
	if name := versions[0].from; name != "" {
		r.Text += fmt.Sprintf("; its first version, as %s, was not found", name)
	} else if len(h.changes[path]) < len(versions) {
		r.Text += "; renamed since, found again by its content"
	}
	if n > 0 {
		r.Text += "; " + units.Plural(n, "earlier version was", "earlier versions were") + " committed before it"
	}
}

// dateConflict says why the time of a plan's commit speaks against it: it is later
// than the start of the session or, where that is not known to the hour or has no
// zone, than its day; "" where it does not.
func dateConflict(c commit, s *trial.Session) string {
	at, err := time.Parse(time.RFC3339, c.committed)
	if err != nil {
		return ""
	}
	if start, err := time.Parse(time.RFC3339, s.Facts.Date+"T"+s.Facts.Start); err == nil {
		if at.After(start) {
			return "its commit is dated after the start of the session (" + c.committed + ", " + s.Facts.Date +
				"T" + s.Facts.Start + ")"
		}
		return ""
	}
	if s.Facts.Date != "" && c.day() > s.Facts.Date {
		return "its commit is dated after the day of the session"
	}
	return ""
}

// timeBetween is the time between two in RFC 3339, zero where one cannot be read.
func timeBetween(a, b string) time.Duration {
	x, errX := time.Parse(time.RFC3339, a)
	y, errY := time.Parse(time.RFC3339, b)
	if errX != nil || errY != nil {
		return 0
	}
	return y.Sub(x).Abs()
}

// describeWaiting describes a plan without committed samples.
func (h *history) describeWaiting(r *trial.PlanHistory, s *trial.Session, path string, versions []change) {
	newest := versions[len(versions)-1]
	last := h.commits[newest.commit]
	r.Plan, r.PlanTime, r.Redrawn, r.State = last.hash, last.committed, len(versions)-1, trial.PlanWaiting
	r.Text = fmt.Sprintf("planned (%s), not run yet", last)
	switch {
	case !h.onDisk(newest, path):
		r.State, r.Text = trial.PlanUncommitted,
			fmt.Sprintf("the plan differs from what was committed (%s): commit it before the run", last)
	case len(s.Blocks) > 0 || len(s.Facts.Recordings) > 0:
		r.State = trial.PlanUncommitted
		r.Text = fmt.Sprintf("planned (%s) before any samples were committed; commit the run", last)
	}
}

// samples lists the commits that brought what was run, the earliest first, the others
// in no order.
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

// onDisk reports whether a file is still what it was in a version, apart from line
// ends.
func (h *history) onDisk(version change, path string) bool {
	text, err := os.ReadFile(filepath.Join(h.dir, filepath.FromSlash(path)))
	if err != nil {
		return false
	}
	unix := bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	digits := len(version.blob)
	return blobHash(text, digits) == version.blob || blobHash(unix, digits) == version.blob
}

// blobHash is git's name for a file's content, of the given number of digits.
func blobHash(text []byte, digits int) string {
	var sum hash.Hash = sha1.New()
	if digits > 2*sha1.Size {
		sum = sha256.New()
	}
	fmt.Fprintf(sum, "blob %d\x00", len(text))
	sum.Write(text)
	return hex.EncodeToString(sum.Sum(nil))
}
