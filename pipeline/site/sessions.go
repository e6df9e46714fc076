package site

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
)

type sessionsBody struct {
	Table  table
	Legend []shoe // of the letters in the table
	Pages  []cell // the other pages of the list
	Said   string // the answer today
	What   string // moved: the outcome and the effort
	Track  bool   // whether there is a track page
	Panels []markup.HTML
	Moved  table
}

// sessionBody is the page of one session.
type sessionBody struct {
	ID, Title, Held   string
	Run               bool // not planned and still to be run
	Track             bool // whether there is a track page
	Facts, Conditions []factLine
	Notes             string
	Plan              *planBody
	Deviations        []string
	Order             *picture
	Legend            []shoe
	Traces            []markup.HTML
	TraceNote         string
	Problems          []string
	Blocks            table
	Cut, Stride       table
	Errors            bool // means carry their measurement error
	Compared, Sensor  table
	Findings          []findingBody
	Recordings, Files table
	After             string // the answer as it stood after this session
	Older, Newer      *cell
}

// findingBody is one finding with what its rule says.
type findingBody struct {
	Severity, Class, Title, Anchor string
	Where, Message, Hint, Pass     string
}

func (s *site) sessionPage(i int) ([]byte, error) {
	session := &s.ds.Sessions[i]
	facts := &session.Facts
	body := sessionBody{
		ID: session.ID, Title: s.lookup.names[session.ID], Held: targetsOf(session), Run: !toCome(session),
		Track: len(s.in.Track) > 0,
		Facts: s.sessionFacts(session), Conditions: s.conditions(session),
		Notes: facts.Notes, Plan: s.plan(session), Deviations: facts.Deviations, Compared: s.sessionCompared(session),
		Findings: s.findings(session), Sensor: s.sessionSensor(session.ID), Recordings: s.recordings(session),
		Files: s.sessionFiles(session), After: s.after(session),
	}
	if !body.Run {
		body.Legend = s.legendOf(slices.Compact(slices.Sorted(slices.Values(session.Plan.Order))))
	}
	if result := s.lookup.results[session.ID]; result != nil && len(result.Blocks) > 0 {
		order := bothWidths(s.order(session, result.Blocks),
			"Solid: the steady window. Pale: trimmed at the start and the end. Hatched: excluded.")
		body.Order, body.Legend = &order, s.legend(result.Blocks)
		readRecordings := s.readRecordings(session, &body)
		precisions := steady.Precisions(s.ds, session, readRecordings)
		body.Blocks, body.Cut, body.Stride = s.blockTable(session, result.Blocks, precisions), s.windowTable(session,
			result.Blocks, precisions), s.strideTable(result.Blocks, precisions)
		body.Errors = len(readRecordings) > 0
		s.traces(session, readRecordings, result.Blocks, &body)
	}
	body.Older, body.Newer = s.neighbour(i-1), s.neighbour(i+1)
	return s.pageText("sessions/"+pageName(session.ID), "session", body.Title+" "+body.Held, body)
}

func (s *site) neighbour(i int) *cell {
	if i < 0 || i >= len(s.ds.Sessions) {
		return nil
	}
	session := &s.ds.Sessions[i]
	c := link(s.lookup.names[session.ID], pageName(session.ID))
	return &c
}

func (s *site) sessionFacts(session *trial.Session) []factLine {
	f, p := &session.Facts, &session.Facts.Protocol
	return withValues(
		fact{"Effort", targetsOf(session), targetsPerMile(session)}, fact{"Venue", s.venue(session), ""},
		fact{"Runner", s.runnerLabel(f.Runner), ""}, fact{"Started", clockOfDay(f.Start), ""},
		fact{"Block", minutes(p.BlockS), ""}, fact{"Rest", minutes(p.RestS), ""},
		fact{"Warm-up", minutes(p.WarmUpS), ""},
		fact{"The runner could see", p.Display, ""}, fact{"Sensor", p.Sensor, ""},
	)
}

// legend lists the shoes of the blocks in register order.
func (s *site) legend(blocks []block) []shoe {
	var ids []string
	for i := range blocks {
		if !slices.Contains(ids, blocks[i].Shoe) {
			ids = append(ids, blocks[i].Shoe)
		}
	}
	return s.legendOf(ids)
}

// mostInLegend is of how many shoes a legend is still of help.
const mostInLegend = 12

// legendOfAll lists every shoe that was run; nil where they are too many.
func (s *site) legendOfAll() []shoe {
	var ids []string
	for i := range s.ds.Sessions {
		for _, b := range s.ds.Sessions[i].Blocks {
			if slices.Contains(ids, b.Shoe) {
				continue
			}
			if ids = append(ids, b.Shoe); len(ids) > mostInLegend {
				return nil
			}
		}
	}
	return s.legendOf(ids)
}

// legendOf lists shoes in the order of their letters.
func (s *site) legendOf(ids []string) []shoe {
	stable.Sort(ids, func(a, b string) int { return cmp.Compare(s.place(a), s.place(b)) })
	legend := make([]shoe, len(ids))
	for i, id := range ids {
		legend[i] = s.shoe(id, "../")
	}
	return legend
}

// sessionCompared has one row for each pair; what was compared stands in the
// caption where it is the same for all, so that a phone shows the numbers.
func (s *site) sessionCompared(session *trial.Session) table {
	t := table{Cards: true, Caption: "This session alone, without assumptions",
		Head: columns("Outcome", "Shoe", "Against", "#Difference")}
	outcomes := map[string]bool{}
	for _, c := range s.lookup.compared[session.ID] {
		if c.Outcome == compare.Primary(s.ds.Facts.Method, c.Effort) {
			outcome := c.Outcome.Info().Label + " " + compare.AtLevel(c.Level)
			outcomes[outcome] = true
			t.Rows = append(t.Rows, append([]cell{text(outcome)}, s.comparedCells(c)...))
		}
	}
	if len(outcomes) == 1 {
		t.Caption = english.Capitalise(t.Rows[0][0].Text) + ": this session alone, without assumptions"
		t.Head = t.Head[1:]
		for i, row := range t.Rows {
			t.Rows[i] = row[1:]
		}
	}
	return t
}

// severityWords says what a severity means for the block.
var severityWords = map[trial.Severity]string{trial.Stop: "stop", trial.Warn: "warning", trial.Note: "note"}

func (s *site) findings(session *trial.Session) []findingBody {
	var bodies []findingBody
	for _, f := range s.worstFirst(session.ID) {
		body := findingBody{
			Severity: severityWords[f.Severity], Class: string(f.Severity), Title: string(f.Rule),
			Where:   "whole session",
			Message: f.Message, Pass: f.Override,
		}
		if f.Block != "" {
			body.Where = "block " + f.Block
		}
		if rule, known := quality.RuleNamed(f.Rule); known {
			body.Title, body.Anchor, body.Hint = rule.Title, ruleAnchor(rule.Slug), quality.Hint(s.ds, f)
		}
		bodies = append(bodies, body)
	}
	return bodies
}

// worstFirst lists the findings of a session, stops before warnings before notes.
func (s *site) worstFirst(session string) (found []trial.Finding) {
	for _, kind := range severities {
		for _, f := range s.lookup.findings[session] {
			if f.Severity == kind.severity {
				found = append(found, f)
			}
		}
	}
	return found
}

func ruleAnchor(slug trial.RuleSlug) string { return "rule-" + string(slug) }

// recordings lists the session's recordings with where they came from.
func (s *site) recordings(session *trial.Session) table {
	t := table{Cards: true, Caption: "Recordings of this session", Head: columns("File", "Device", "Worn",
		"#Clock offset, s", "Imported from", "SHA-256 of the original")}
	for _, r := range session.Facts.Recordings {
		path := session.Folder() + "/" + r.File
		file := text(r.File)
		if s.lookup.published[path] {
			file = link(r.File, "../data/"+href(path))
		}
		hash := cell{Text: r.SourceSha256, Code: r.SourceSha256 != ""}
		t.Rows = append(t.Rows, []cell{file, text(r.Device), text(r.Mount), numeric(offset(r.OffsetS)),
			text(r.SourceFormat), hash})
	}
	return t
}

// sessionFiles lists the published files of a session.
func (s *site) sessionFiles(session *trial.Session) table {
	t := table{Caption: "Files of this session", Head: columns("File", "#Size")}
	for _, f := range s.lookup.files[session.Folder()] {
		name := strings.TrimPrefix(f.Path, session.Folder()+"/")
		t.Rows = append(t.Rows, []cell{link(name, "../data/"+href(f.Path)), numeric(size(f.facts().bytes))})
	}
	return t
}

func offset(seconds float64) string { return cmp.Or(figure.Plain(seconds, 1), "0.0") }

func blockLabel(b *block, label string) string {
	text := fmt.Sprintf("block %s in %s", b.Block, cmp.Or(label, "no shoe named"))
	if !b.Included {
		text += ", excluded"
	}
	return text
}

// comparedCells are the cells of one comparison, the better shoe first.
func (s *site) comparedCells(c *compare.SessionComparison) []cell {
	better := betterFirst(c.Comparison)
	return []cell{shoeCell(s.shoe(better.Shoe, "../")), shoeCell(s.shoe(better.Reference, "../")),
		numeric(difference(estimateOf(&better), better.Outcome))}
}
