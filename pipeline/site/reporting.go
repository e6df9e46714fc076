package site

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// reportItem is one item of CENT 2015, the reporting guideline for trials of one
// person (N-of-1): what to report, in our own words, and what this dataset answers;
// "" where it holds nothing to answer with.
type reportItem struct {
	number, reports, answer string
}

// reporting answers each item as far as the dataset can (doi 10.1136/bmj.h1738,
// h1793; items 6 to 25 from memory of the layout). Nothing is answered that is not
// read off the dataset or is not a fact about the program.
func (s *site) reporting() table {
	t := table{Caption: "Reporting items of CENT 2015", Head: columns("Item", "What to report", "Here")}
	open := 0
	for _, item := range s.reportItems() {
		if item.answer == "" {
			item.answer = notAnswered
		}
		if item.answer == notAnswered || strings.HasPrefix(item.answer, noPlan) {
			open++
		}
		t.Rows = append(t.Rows, []cell{text(item.number), text(item.reports), text(nonBreaking(item.answer))})
	}
	t.Caption += fmt.Sprintf(": %d of %d answered from the data", len(t.Rows)-open, len(t.Rows))
	return t
}

func (s *site) reportItems() []reportItem {
	// The items in the order of the guideline.
	f := &s.ds.Facts
	return []reportItem{
		{"1", "a title that names the kind of trial, a summary", f.Title},
		{"2", "background, why a trial of one person, aims", f.Description},
		{"3a", "design: planned blocks, their length, rest between", s.plannedDesign()},
		{"3b", "changes after the start", s.changes()},
		{"4a", "who took part", s.people()},
		{"4b", "where", s.venues()},
		{"4c", "whether it is research, and ethics approval", ""},
		{"5", "what was compared, enough to repeat it", s.comparedShoes()},
		{"6a", "outcomes decided in advance, how they were measured", s.outcomesPlanned()},
		{"6b", "changes of outcomes", ""},
		{"7a", "how the number of blocks was set", s.blocksPlanned()},
		{"7b", "looks before the end, rules for stopping", s.interimLooks()},
		{"8a", "whether the order was drawn by chance, how, and the sequence", s.randomised()},
		{"9, 10", "how the order was hidden, who drew it", ""},
		{"11a", "who knew which shoe was worn", s.visibleWhileRunning()},
		{"11b", "how alike the shoes looked", ""},
		{"12", "analysis; what was done about drift, carry-over and blocks of one person being alike", s.analysis()},
		{"13a, 13c", "blocks run, deviations from the sequence, blocks lost and why", s.blocksRun()},
		{"14a", "dates", s.dates()},
		{"14b", "anything stopped early", ""},
		{"15", "the person at the start", s.baseline()},
		{"16", "blocks analysed for each shoe", s.analysed()},
		{"17a", "the result of every block with a plot, the effect with its interval", s.results()},
		{"18", "other analyses", s.otherAnalyses()},
		{"19", "harms, by shoe", ""},
		{"20 to 22", "limitations, for whom it holds, interpretation", s.limits()},
		{"23, 24", "registration, protocol", s.protocol()},
		{"25", "funding and its role", f.Disclosure},
	}
}

// plans are the sessions that were run and have a plan.
func (s *site) plans() []*trial.Session {
	return slices.DeleteFunc(s.ds.SessionsRun(), func(session *trial.Session) bool { return session.Plan == nil })
}

// What stands where the dataset holds nothing to answer with.
const (
	noPlan      = "no plan in this dataset"
	notAnswered = "not answered by the data"
)

func (s *site) plannedDesign() string {
	planned := s.plans()
	if len(planned) == 0 {
		return noPlan
	}
	var designs []string
	for _, session := range planned {
		p := session.Plan
		addNew(&designs, fmt.Sprintf("%s of %s with %s of rest", units.Count(len(p.Order), "block"),
			units.FormatClock(p.BlockS), units.FormatClock(p.RestS)))
	}
	return fmt.Sprintf("%s of %d with a plan: %s", units.Count(len(planned), "session"), len(s.ds.SessionsRun()),
		strings.Join(designs, "; "))
}

func addNew(list *[]string, word string) {
	if word != "" && !slices.Contains(*list, word) {
		*list = append(*list, word)
	}
}

func (s *site) changes() string {
	n := 0
	for i := range s.ds.Sessions {
		n += len(s.ds.Sessions[i].Facts.Deviations)
	}
	words := units.Count(n, "deviation") + " written down, on the pages of the sessions"
	if len(s.plans()) == 0 {
		return words
	}
	return words + "; " + s.deviationsFound()
}

// deviationsFound counts what the rule [quality.PlanDeparted] found.
func (s *site) deviationsFound() string {
	n, sessions := 0, map[string]bool{}
	for _, f := range s.result.Findings {
		if f.Rule == quality.PlanDeparted {
			n++
			sessions[f.Session] = true
		}
	}
	if n == 0 {
		return "no deviation from a plan found"
	}
	return fmt.Sprintf("%s from a plan found, in %s", units.Count(n, "deviation"),
		units.Count(len(sessions), "session"))
}

// blocksPlanned says what plans decided about how much is run, and how precise the
// answer was to be.
func (s *site) blocksPlanned() string {
	planned := s.plans()
	if len(planned) == 0 {
		return ""
	}
	var numbers []string
	for _, session := range planned {
		addNew(&numbers, units.Count(len(session.Plan.Order), "block"))
	}
	return fmt.Sprintf("plans give the blocks of %s (%s) and the difference that would matter (%s); the number of "+
		"sessions is not written down",
		units.Count(len(planned), "session"), strings.Join(numbers,
			", "), quantity(planned[len(planned)-1].Plan.Rules.WorthwhilePct, 2, "%"))
}

// interimLooks says which looks there were: one can look after every session, and what was
// to be seen then is shown.
func (s *site) interimLooks() string {
	n := 0
	for _, c := range s.result.Compare.Sessions {
		if units.Known(c.ToDate) {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("what could be seen after each session is on the page of all sessions (%s to date); no rule "+
		"for stopping is in the data", units.Count(n, "estimate"))
}

func (s *site) people() string {
	if len(s.ds.Runners) == 0 {
		return ""
	}
	return units.Count(len(s.ds.Runners), "runner") + ", named by a label of their own choosing"
}

func (s *site) venues() string {
	var places []string
	for i := range s.ds.Sessions {
		if v := s.ds.Venue(s.ds.Sessions[i].Facts.Venue); v != nil {
			addNew(&places, strings.TrimSpace(v.Label+" "+inParentheses(v.Kind)))
		}
	}
	return strings.Join(places, "; ")
}

func inParentheses(word string) string {
	if word == "" {
		return ""
	}
	return "(" + word + ")"
}

func (s *site) comparedShoes() string {
	if len(s.ds.Shoes) == 0 {
		return ""
	}
	var held []string
	for i := range s.ds.Sessions {
		addNew(&held, targetsOf(&s.ds.Sessions[i]))
	}
	return fmt.Sprintf("%s, each with a page of its facts; %s", units.Count(len(s.ds.Shoes), "shoe"),
		strings.Join(held, "; "))
}

func (s *site) outcomesPlanned() string {
	words := "the outcome that decides is in dataset.yaml; sensors and where they were worn are on the pages of the " +
		"sessions"
	for _, session := range s.plans() {
		if session.Plan.Rules.Primary != "" {
			return words + "; plans settle " + session.Plan.Rules.Primary
		}
	}
	return words + "; " + noPlan + ", so nothing shows that it was decided before the run"
}

func (s *site) randomised() string {
	planned := s.plans()
	if len(planned) == 0 {
		return noPlan
	}
	var from []string
	for _, session := range planned {
		addNew(&from, figure.Plain(session.Plan.Draw.Orders, 0))
	}
	return fmt.Sprintf("yes, in %s of %d: drawn with a seed that is written down, each from %s equally likely "+
		"orders; the orders are in plan.yaml", units.Count(len(planned), "session"), len(s.ds.SessionsRun()),
		strings.Join(from, ", "))
}

func (s *site) visibleWhileRunning() string {
	var seen []string
	for i := range s.ds.Sessions {
		addNew(&seen, s.ds.Sessions[i].Facts.Protocol.Display)
	}
	if len(seen) == 0 {
		return ""
	}
	return "while running the runner could see: " + strings.Join(seen, "; ") +
		"; that the shoe was hidden is not claimed"
}

func (s *site) analysis() string {
	words := "sections 3 and 4 of this page; blocks of one session share its mean, those of one shoe in a session a " +
		"random term"
	if s.ds.Facts.Method.Drift == trial.DriftNone {
		words += "; no drift is removed"
	} else {
		words += "; a straight drift is removed"
	}
	words += "; carry-over is not modelled"
	if len(s.plans()) > 0 {
		words += ", but planned orders balance which shoe follows which"
	}
	return words
}

func (s *site) blocksRun() string {
	run, lost := 0, 0
	for _, session := range s.result.Sessions {
		for i := range session.Blocks {
			if run++; !session.Blocks[i].Included {
				lost++
			}
		}
	}
	words := fmt.Sprintf("%s run, %d excluded, each with its reason in derived/blocks.csv", units.Count(run, "block"),
		lost)
	if len(s.plans()) == 0 {
		return words + "; " + noPlan + " to deviate from"
	}
	return words + "; " + s.deviationsFound()
}

func (s *site) dates() string {
	run := s.ds.SessionsRun()
	if len(run) == 0 {
		return ""
	}
	return run[0].Facts.Date + " to " + run[len(run)-1].Facts.Date
}

func (s *site) baseline() string {
	known := 0
	for i := range s.ds.Runners {
		if units.Known(s.ds.Runners[i].MassKg) {
			known++
		}
	}
	if known == 0 {
		return ""
	}
	return fmt.Sprintf("body mass of %s; nothing on training or health", units.Count(known, "runner"))
}

func (s *site) analysed() string {
	counts := map[string]int{}
	for _, session := range s.result.Sessions {
		for i := range session.Blocks {
			if session.Blocks[i].Included {
				counts[session.Blocks[i].Shoe]++
			}
		}
	}
	var words []string
	for i := range s.ds.Shoes {
		words = append(words, fmt.Sprintf("%s %d", s.label(s.ds.Shoes[i].ID), counts[s.ds.Shoes[i].ID]))
	}
	return strings.Join(words, ", ")
}

func (s *site) results() string {
	if len(s.result.Compare.Comparisons) == 0 {
		return ""
	}
	return fmt.Sprintf(
		"every block on the page of its session and in derived/blocks.csv; %s in derived/comparisons.csv",
		units.Count(len(s.result.Compare.Comparisons), "comparison"))
}

func (s *site) otherAnalyses() string {
	if len(s.result.Compare.Comparisons) == 0 {
		return ""
	}
	return "each block left out in turn; tipping points of drift; the randomisation test over planned orders; " +
		"the sensor's own checks. Every outcome but the deciding one is exploratory"
}

func (s *site) limits() string {
	return units.Count(len(s.result.Findings), "finding") +
		" of the quality rules; the answer holds for who ran, in these pairs"
}

func (s *site) protocol() string {
	if n := len(s.plans()); n > 0 {
		return fmt.Sprintf("plan.yaml of %s; no registration", units.Count(n, "session"))
	}
	return noPlan + ", and no registration"
}
