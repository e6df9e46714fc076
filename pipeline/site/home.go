package site

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// homeBody is the page that answers the question.
type homeBody struct {
	Headline, Description string
	Detail                []string
	Levels                []levelBody
	Races                 []raceBody
	Recommendation        *recommendationBody
	Latest                table
	Sessions              int
	EvidenceGaps          []evidenceGap
	Disclosure            string
}

// evidenceGap is one comparison that decides the ranking, its evidence, and what would
// raise it.
type evidenceGap struct {
	Pair, Evidence string
	Reasons        []string
	Randomisation  string // the randomisation test over planned orders, or ""
}

// latestSessions is how many sessions the home page lists.
const latestSessions = 5

func (s *site) home() error {
	verdict := s.result.Compare.Verdict
	body := homeBody{
		Headline: nonBreaking(verdict.Headline), Description: s.ds.Facts.Description, Disclosure: s.ds.Facts.Disclosure,
		Sessions: len(s.ds.Sessions), Races: s.races(""), Recommendation: s.recommendation(""),
		EvidenceGaps: s.evidenceGaps(),
	}
	for _, line := range verdict.Detail {
		body.Detail = append(body.Detail, nonBreaking(line))
	}
	for i := range s.result.Compare.Rankings {
		body.Levels = append(body.Levels, s.level(&s.result.Compare.Rankings[i], i, ""))
	}
	body.Latest = s.sessionTable("Latest sessions, newest first", latestSessions, "")
	return s.page("index.html", "home", "Answer", body)
}

// levelBody is the ranking at one level of effort.
type levelBody struct {
	Title   string
	Picture picture
	Table   table
	Runners table
}

func (s *site) level(r *compare.Ranking, number int, root string) levelBody {
	title := english.Capitalise(r.Outcome.Info().Label) + " " + compare.AtLevel(r.Level)
	drawing := narrowOnly(s.ranking(r, number, title))
	if number == 0 {
		drawing = bothWidths(s.ranking(r, number, title), s.intervalCaption())
	}
	return levelBody{Title: title, Picture: drawing, Table: s.rankingTable(r, title, root),
		Runners: s.runners(r, title, root)}
}

func (s *site) intervalCaption() string {
	return fmt.Sprintf("Marks are estimates, lines are %s %% intervals; a hollow mark has no interval.",
		percentOf(s.ds.Facts.Method.Confidence))
}

func (s *site) rankingTable(r *compare.Ranking, title, root string) table {
	t := table{
		Caption: title + ": the shoes in order",
		Head: columns("Shoe", "#Difference from "+s.label(referenceOf(r)), "Cannot be told apart from",
			"#Mass of one shoe"),
	}
	for i := range r.Places {
		p := &r.Places[i]
		row := []cell{shoeCell(s.shoe(p.Shoe, root)), numeric("reference"), s.indistinguishable(r, p, root),
			numeric("not weighed")}
		if !p.Reference {
			row[1].Text = difference(placeEstimate(p), r.Outcome)
		}
		if known := s.ds.Shoe(p.Shoe); known != nil {
			row[3].Text = mass(known.MassG)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// indistinguishable lists the shoes of a ranking that one cannot be told apart from.
func (s *site) indistinguishable(r *compare.Ranking, p *compare.Place, root string) cell {
	var c cell
	for i := range r.Places {
		if other := r.Places[i].Shoe; other != p.Shoe && !slices.Contains(p.Apart, other) {
			c.Shoes = append(c.Shoes, s.shoe(other, root))
		}
	}
	if len(c.Shoes) == 0 {
		c.Text = "told apart from all"
	}
	return c
}

// evidenceGaps lists what is missing behind each comparison of the first ranking that
// involves its reference shoe.
func (s *site) evidenceGaps() []evidenceGap {
	if len(s.result.Compare.Rankings) == 0 {
		return nil
	}
	r := &s.result.Compare.Rankings[0]
	reference := referenceOf(r)
	var evidenceGaps []evidenceGap
	for i := range s.result.Compare.Comparisons {
		c := &s.result.Compare.Comparisons[i]
		if c.Outcome != r.Outcome || c.Level != r.Level || c.Reference != reference && c.Shoe != reference {
			continue
		}
		pair := evidenceGap{Pair: s.label(c.Shoe) + " against " + s.label(c.Reference), Evidence: string(c.Evidence)}
		pair.Randomisation = nonBreaking(english.Capitalise(c.Randomisation.Sentence(s.ds.Facts.Method.Confidence)))
		for _, why := range c.Reasons {
			pair.Reasons = append(pair.Reasons, nonBreaking(why))
		}
		evidenceGaps = append(evidenceGaps, pair)
	}
	return evidenceGaps
}

// sessionTable lists sessions, newest first, at most so many.
func (s *site) sessionTable(caption string, most int, root string) table {
	t := table{Caption: caption, Head: columns("Session", "Place", "Held", "Order run", "#Blocks used", "Planned",
		"Findings")}
	for i := len(s.ds.Sessions) - 1; i >= 0 && len(t.Rows) < most; i-- {
		session := &s.ds.Sessions[i]
		row := []cell{
			link(session.Facts.Date, root+"sessions/"+pageName(session.ID)), text(s.venue(session)),
			text(targetsOf(session)),
			s.orderLetters(session, root), numeric(s.usedBlocks(session)), s.planCell(session),
			text(s.findingCounts(session)),
		}
		if s.sharesDate(session) {
			row[0].Note = session.ID
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// sharesDate reports whether the date alone does not name the session.
func (s *site) sharesDate(session *trial.Session) bool {
	same := 0
	for i := range s.ds.Sessions {
		if s.ds.Sessions[i].Facts.Date == session.Facts.Date {
			same++
		}
	}
	return same > 1
}

func (s *site) venue(session *trial.Session) string {
	if v := s.ds.Venue(session.Facts.Venue); v != nil {
		return cmp.Or(v.Label, v.ID)
	}
	return session.Facts.Venue
}

func (s *site) orderLetters(session *trial.Session, root string) cell {
	var c cell
	for _, b := range session.Blocks {
		c.Shoes = append(c.Shoes, s.shoe(b.Shoe, root))
	}
	return c
}

func (s *site) usedBlocks(session *trial.Session) string {
	result := s.result.Session(session.ID)
	if result == nil {
		return fmt.Sprintf("0 of %d", len(session.Blocks))
	}
	used := 0
	for i := range result.Blocks {
		if result.Blocks[i].Included {
			used++
		}
	}
	return fmt.Sprintf("%d of %d", used, len(session.Blocks))
}

// severities are the findings' severities as pages count them.
var severities = []struct {
	severity trial.Severity
	noun     string
}{{trial.Stop, "stop"}, {trial.Warn, "warning"}, {trial.Note, "note"}}

func (s *site) findingCounts(session *trial.Session) string {
	var counts []string
	for _, kind := range severities {
		n := 0
		for _, f := range s.result.Findings {
			if f.Session == session.ID && f.Severity == kind.severity {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, units.Count(n, kind.noun))
		}
	}
	return cmp.Or(strings.Join(counts, ", "), "none")
}
