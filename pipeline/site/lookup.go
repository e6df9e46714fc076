package site

import (
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
)

// lookup is what the pages of sessions ask for by a session's id, gathered once so that a site of
// thousands of sessions does not search thousands of rows for each.
type lookup struct {
	sessions map[string]*trial.Session
	pages    map[string]*trial.Session // by the path of the session's page
	results  map[string]*derive.SessionResult
	findings map[string][]trial.Finding
	compared map[string][]*compare.SessionComparison
	ratios   map[string][]sensor.Row
	// comparisons are those over all sessions, by each of their two shoes.
	comparisons map[string][]*compare.Comparison
	files       map[string][]File // of the dataset and its twins, by the session's folder
	published   map[string]bool   // the dataset's own files
	names       map[string]string // of the sessions, for people
}

func newLookup(in Input) lookup {
	r := in.Result
	l := lookup{sessions: map[string]*trial.Session{}, pages: map[string]*trial.Session{},
		results:  map[string]*derive.SessionResult{},
		findings: map[string][]trial.Finding{}, compared: map[string][]*compare.SessionComparison{},
		ratios: map[string][]sensor.Row{}, files: map[string][]File{}, published: map[string]bool{},
		names: map[string]string{}, comparisons: map[string][]*compare.Comparison{}}
	// By shoe.
	for i := range r.Compare.Comparisons {
		c := &r.Compare.Comparisons[i]
		l.comparisons[c.Shoe] = append(l.comparisons[c.Shoe], c)
		l.comparisons[c.Reference] = append(l.comparisons[c.Reference], c)
	}
	// By session, each list in the order of the result.
	for i := range r.Dataset.Sessions {
		session := &r.Dataset.Sessions[i]
		l.sessions[session.ID], l.pages["sessions/"+pageName(session.ID)] = session, session
		l.names[session.ID] = answer.SessionNameAt(r.Dataset, i)
	}
	for i := range r.Sessions {
		l.results[r.Sessions[i].ID] = &r.Sessions[i]
	}
	for _, f := range r.Findings {
		l.findings[f.Session] = append(l.findings[f.Session], f)
	}
	for i := range r.Compare.Sessions {
		c := &r.Compare.Sessions[i]
		l.compared[c.Session] = append(l.compared[c.Session], c)
	}
	for _, row := range r.Sensor.Sessions {
		l.ratios[row.Session] = append(l.ratios[row.Session], row)
	}
	// By folder.
	for _, list := range [][]File{in.Files, in.Twins} {
		for _, f := range list {
			if at := strings.LastIndexByte(f.Path, '/'); at >= 0 {
				l.files[f.Path[:at]] = append(l.files[f.Path[:at]], f)
			}
		}
	}
	for _, f := range in.Files {
		l.published[f.Path] = true
	}
	return l
}
