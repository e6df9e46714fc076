package site

import (
	"cmp"
	"slices"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// stripBody is how the answer stood in all analyses.
type stripBody struct {
	Said, Leader string
	Strip        markup.HTML
	Rows         []stripRow
	Title        string
	Pairs        table
}

// stripRow is one analysis.
type stripRow struct {
	ID, Words, Leads, Status string
	Href                     string // of the analysis in the explorer; "" where it cannot show it
	Shoe                     shoe
}

// strip makes the robustness section, and the page with every analysis; nil without any.
func (s *site) strip(e *answer.Effort, g *answer.Group) *stripBody {
	if len(g.Analyses) == 0 {
		return nil
	}
	same, of := g.SameLeader()
	leader := g.Places[0].Shoe
	body := &stripBody{Title: effortTitle(e), Leader: s.speaker.Label(leader), Pairs: s.pairsTable(e, g, ""),
		Said: nonBreaking(s.speaker.Label(leader) + " leads in " +
			units.FormatDecimal(float64(same), 0) + " of " + units.Plural(of, "analysis", "analyses") + ".")}
	f := figure.Strip{
		Head: figure.Head{ID: "robustness", Title: "How robust the answer is", Desc: body.Said +
			" A mark for each analysis: right of the line where " + s.speaker.Label(leader) + " leads. All of them " +
			"are in the table."},
		Axis: "% ahead of the next: right is further ahead",
	}
	// A row and a mark for each analysis, that without assumptions last.
	for i := range g.Analyses {
		a := &g.Analyses[i]
		row := s.analysisRow(a, "a"+units.FormatDecimal(float64(i+1), 0))
		row.Href = s.analysisHref(e.Effort, a.Variant)
		body.Rows = append(body.Rows, row)
		f.Add(analysisKind(a.Variant), s.mark(row, leader, a.Leader, decide.Percent(a.Lead.Mean)))
	}
	published := slices.IndexFunc(body.Rows, func(r stripRow) bool { return r.Words == asPublished })
	if published > 0 { // first in the table, whatever its number
		row := body.Rows[published]
		body.Rows = slices.Insert(slices.Delete(body.Rows, published, published+1), 0, row)
	}
	if c := g.WithoutAssumptions; c != nil {
		row := stripRow{ID: "a0", Words: "without assumptions", Shoe: s.shoe(c.Shoe, ""), Href: "#",
			Leads: s.leadWords(c.Shoe, c.Reference, c.Estimate), Status: "difference alone"}
		row.Href = "explorer/index.html"
		body.Rows = append(body.Rows, row)
		f.Add("no assumptions", s.mark(row, leader, c.Shoe, c.Estimate))
	}
	body.Strip = markup.HTML(f.SVG(figure.Narrow))
	return body
}

// mark is the mark of an analysis: left of zero where another shoe leads.
func (s *site) mark(row stripRow, leader, leads string, percent float64) figure.StripMark {
	if leads != leader {
		percent = -percent
	}
	return figure.StripMark{Shoe: s.place(leads), Value: percent, Href: row.Href,
		Words: row.Words + ": " + row.Leads}
}

// asPublished names the analysis that the answer is from; the reader's script looks for it.
const asPublished = "as published"

func (s *site) analysisRow(a *decide.Analysis, id string) stripRow {
	drift := decide.DriftOf(s.ds.Facts.Method)
	words := cmp.Or(answer.VariantWords(a.Variant, drift, s.ds), asPublished)
	return stripRow{ID: id, Words: words, Shoe: s.shoe(a.Leader, ""),
		Leads: s.leadWords(a.Leader, a.Second, decide.Percent(a.Lead.Mean)), Status: statusWords[a.Status]}
}

// statusWords name what an answer can be, in tables and in Method.
var statusWords = map[decide.Status]string{decide.Same: "practically the same", decide.Fastest: "fastest",
	decide.Leading: "leading", decide.Open: "no clear winner", decide.Blocked: "blocked"}

// leadWords says who leads in an analysis: "Fennock +0.9 % on Quenby".
func (s *site) leadWords(leader, second string, percent float64) string {
	return s.speaker.Label(leader) + " " + figure.Signed(percent, answer.PercentDecimals) + "\u00a0% on " +
		s.speaker.Label(second)
}

// analysisKind is the row of the strip that an analysis stands in.
func analysisKind(v decide.Variant) string {
	switch {
	case v.LeftOutSession != "":
		return "one left out"
	case v.Shared != decide.SharedUnknown:
		return "sensor error"
	}
	return string(v.Window)
}

// analysisHref leads to an analysis in the explorer.
func (s *site) analysisHref(effort trial.Effort, v decide.Variant) string {
	m := s.ds.Facts.Method
	var parts []string
	add := func(key, value string) { parts = append(parts, key+"="+value) }
	// The window.
	if v.Window != decide.PublishedWindow {
		t := answer.TrimOf(v.Window, m.Trim)
		for _, cut := range []struct {
			key                string
			seconds, published float64
		}{{"head_s", t.HeadS, m.Trim.HeadS}, {"tail_s", t.TailS, m.Trim.TailS},
			{"heart_rate_head_s", t.HeartRateHeadS, m.Trim.HeartRateHeadS}} {
			if cut.seconds != cut.published {
				add(cut.key, strings.TrimSpace(quantity(cut.seconds, 1, "")))
			}
		}
		if t.Laps != m.Trim.Laps {
			add("laps", map[bool]string{true: "whole", false: "seconds"}[t.Laps == trial.WholeLaps])
		}
	}
	// The drift and the exponent.
	if v.Drift != decide.DriftOf(m) {
		add("drift", map[decide.Drift]string{decide.NoDrift: "none", decide.StraightDrift: "linear",
			decide.CurvedDrift: "curved"}[v.Drift])
	}
	if e := s.speaker.Answers.Find(effort); v.Exponent != decide.MeanExponent && e != nil {
		add("power_exponent", strings.TrimSpace(quantity(v.Settings(e.Settings).Prior.Exponent.Mean, 3, "")))
	}
	// What is left out.
	switch {
	case v.LeftOutBlock != "":
		add("out", escape(v.LeftOutSession, '%')+"/"+escape(v.LeftOutBlock, '%'))
	case v.LeftOutSession != "":
		if session := s.ds.Session(v.LeftOutSession); session != nil {
			var out []string
			for _, b := range session.Blocks {
				out = append(out, escape(session.ID, '%')+"/"+escape(b.ID, '%'))
			}
			add("out", strings.Join(out, ","))
		}
	}
	return "explorer/index.html#" + strings.Join(parts, "&")
}

// robustness writes the page with every analysis of every group.
func (s *site) robustness() error {
	var bodies []*stripBody
	for i := range s.speaker.Answers.Efforts {
		e := &s.speaker.Answers.Efforts[i]
		for g := range e.Groups {
			if body := s.strip(e, &e.Groups[g]); body != nil {
				bodies = append(bodies, body)
			}
		}
	}
	// The headline's marks lead here by number, so its table comes first and keeps its ids.
	if top, g := s.speaker.Answers.Top(); g != nil {
		title := effortTitle(top)
		for i, body := range bodies {
			if body.Title == title {
				bodies[0], bodies[i] = bodies[i], bodies[0]
				break
			}
		}
	}
	for i, body := range bodies[min(1, len(bodies)):] {
		for j := range body.Rows {
			body.Rows[j].ID = "e" + units.FormatDecimal(float64(i+1), 0) + body.Rows[j].ID
		}
	}
	return s.page("robustness.html", "robustness", "Robustness", bodies)
}

// testedBody is how the trial was run.
type testedBody struct {
	Facts  []string
	Checks []string
}

func (s *site) tested(e *answer.Effort, g *answer.Group) testedBody {
	var body testedBody
	// The sessions by effort.
	var efforts []string
	for i := range s.speaker.Answers.Efforts {
		other := &s.speaker.Answers.Efforts[i]
		efforts = append(efforts, units.FormatDecimal(float64(other.Sessions), 0)+" at "+other.Effort.Same())
	}
	if len(efforts) > 1 { // of one effort the card says it
		body.Facts = append(body.Facts, "Sessions: "+english.List(efforts, "and")+".")
	}
	// The blocks, and the plans.
	used, excluded, planned, run := 0, 0, 0, s.ds.SessionsRun()
	for _, session := range run {
		if r := s.result.Session(session.ID); r != nil {
			for j := range r.Blocks {
				if r.Blocks[j].Included {
					used++
				} else {
					excluded++
				}
			}
		}
		if session.Plan != nil {
			planned++
		}
	}
	if used+excluded > 0 {
		line := units.Count(used, "block")
		if excluded > 0 {
			line += ", and " + units.FormatDecimal(float64(excluded), 0) + " excluded with a reason"
		}
		body.Facts = append(body.Facts, line+"; the runner changed shoes between blocks.")
		order := "The order of the shoes was not drawn beforehand."
		if planned > 0 {
			order = "The order of the shoes was drawn beforehand in " + units.FormatDecimal(float64(planned), 0) +
				" of " + units.Count(len(run), "session") + "."
		}
		body.Facts = append(body.Facts, order)
	}
	for _, line := range s.speaker.Top().Checks {
		if strings.HasPrefix(line, "The leading shoe is the same in ") {
			continue // the strip has said it
		}
		body.Checks = append(body.Checks, nonBreaking(line))
	}
	return body
}
