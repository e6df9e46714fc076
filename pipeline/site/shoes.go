package site

import (
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/recommend"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

type shoesBody struct {
	Table table
	Pages []cell // the other pages of the list
}

// shoeBody is the page of one shoe.
type shoeBody struct {
	Shoe       shoe
	Mark       markup.HTML
	Results    []shoeResult
	Facts      []factLine
	Notes      string
	Weight     *weightBody
	Raw        rawBody
	Sensor     table
	Sessions   table
	Legend     []shoe // of the letters in Sessions
	Disclosure string
	Shared     *sharedFigure
}

// shoeResult is what the answer at one effort says of a shoe.
type shoeResult struct {
	Title, Said string
	Bar         markup.HTML
	Chance      string // of being the best, in words
	Picture     picture
	Shared      *sharedFigure // of the first result
	Pairs       []string
	Table       table
}

// perPage is how many shoes or sessions one page of a list holds.
const perPage = 100

func (s *site) shoes() error {
	var rows [][]cell
	for _, registered := range s.inOrder() {
		rows = append(rows, s.shoeRow(registered))
		if err := s.shoePage(registered); err != nil {
			return err
		}
	}
	head := columns("Shoe", "Result", "#Mass of one shoe", "Plate", "#Worn before", "#Sessions")
	return s.paged("shoes/", rows, func(path string, rows [][]cell, pages []cell) error {
		return s.page(path, "shoes", "Shoes", shoesBody{
			Table: table{Caption: "The shoes of this trial", Head: head, Rows: rows, Cards: true},
			Pages: pages,
		})
	})
}

// inOrder lists the shoes as the headline's answer has them, the others after them.
func (s *site) inOrder() (shoes []*trial.Shoe) {
	ranked := map[string]bool{}
	if _, g := s.speaker.Answers.Top(); g != nil {
		for i := range g.Places {
			if shoe := s.ds.Shoe(g.Places[i].Shoe); shoe != nil {
				ranked[shoe.ID] = true
				shoes = append(shoes, shoe)
			}
		}
	}
	for i := range s.ds.Shoes {
		if shoe := &s.ds.Shoes[i]; !ranked[shoe.ID] {
			shoes = append(shoes, shoe)
		}
	}
	return shoes
}

// shoeRow is one line of the list of shoes, the result first.
func (s *site) shoeRow(registered *trial.Shoe) []cell {
	mass, ounces := massBoth(registered.MassG)
	worn, miles := bothUnits(registered.WornKm, 0, "km")
	return []cell{
		shoeCell(s.shoe(registered.ID, "../")), text(s.shortResult(registered.ID)),
		{Text: mass, Other: ounces, Number: true}, text(registered.Plate), {Text: worn, Other: miles, Number: true},
		numeric(figure.Plain(float64(len(s.sessionsWith(registered.ID))), 0)),
	}
}

// shortResult says in a table what the headline's answer says of a shoe.
func (s *site) shortResult(id string) string {
	e, g := s.speaker.Answers.Top()
	if g == nil {
		return "no answer yet"
	}
	for i := range g.Places {
		p := &g.Places[i]
		if p.Shoe != id {
			continue
		}
		chance := "chance to be the fastest " + answer.Chance(p.Best)
		if e.Outcome == trial.Heart {
			chance = "chance to be the easiest " + answer.Chance(p.Best)
		}
		if i == 0 {
			return nonBreaking("first; " + chance)
		}
		return nonBreaking(s.behind(e, p.Pair) + " " + s.behindHeading(e) + "; " + chance)
	}
	return "not compared with the others"
}

// paged writes a list in pages of a hundred rows. The first page has the last rows of a list
// of sessions, which is newest first, so the pages after it count from the end: old ones keep
// their address.
func (s *site) paged(folder string, rows [][]cell, write func(path string, rows [][]cell, pages []cell) error) error {
	count := max(1, (len(rows)+perPage-1)/perPage)
	name := func(i int) string {
		if i == 0 {
			return "index.html"
		}
		// Names of pages of shoes and sessions never hold "~" before a single digit and a dot.
		return "page~" + units.FormatDecimal(float64(count-i), 0) + ".html"
	}
	for i := range count {
		var pages []cell
		for j := range count {
			first, last := j*perPage+1, min((j+1)*perPage, len(rows))
			label := units.FormatDecimal(float64(first), 0) + " to " + units.FormatDecimal(float64(last), 0)
			c := link(label, name(j))
			if j == i {
				c.Href = ""
			}
			pages = append(pages, c)
		}
		if count == 1 {
			pages = nil
		}
		if err := write(folder+name(i), rows[i*perPage:min((i+1)*perPage, len(rows))], pages); err != nil {
			return err
		}
	}
	return nil
}

func (s *site) shoePage(registered *trial.Shoe) error {
	body := shoeBody{Shoe: s.shoe(registered.ID, "../"), Facts: shoeFacts(registered), Notes: registered.Notes,
		Disclosure: s.ds.Facts.Disclosure, Mark: markup.HTML(figure.Mark(s.place(registered.ID)))}
	body.Results = s.shoeResults(registered.ID)
	if len(body.Results) > 0 {
		body.Shared = body.Results[0].Shared
	}
	body.Weight = s.weight(registered)
	body.Raw = s.raw(registered.ID)
	body.Sensor = s.shoeSensor(registered.ID)
	body.Sessions, body.Legend = s.shoeSessions(registered.ID), s.legendOfAll()
	return s.page("shoes/"+pageName(registered.ID), "shoe", body.Shoe.Label, body)
}

// shoeResults are the answers in which a shoe has a place, the headline's first.
func (s *site) shoeResults(id string) (results []shoeResult) {
	top, main := s.speaker.Answers.Top()
	add := func(e *answer.Effort, g *answer.Group) {
		for i := range g.Places {
			if g.Places[i].Shoe == id {
				results = append(results, s.shoeResult(e, g, i, len(results)))
			}
		}
	}
	if main != nil {
		add(top, main)
	}
	for i := range s.speaker.Answers.Efforts {
		e := &s.speaker.Answers.Efforts[i]
		for g := range e.Groups {
			if &e.Groups[g] != main {
				add(e, &e.Groups[g])
			}
		}
	}
	return results
}

// ordinals name places in an order.
var ordinals = []string{"First", "Second", "Third", "Fourth", "Fifth", "Sixth"}

func (s *site) shoeResult(e *answer.Effort, g *answer.Group, place, number int) shoeResult {
	p := &g.Places[place]
	best := "the fastest"
	if e.Outcome == trial.Heart {
		best = "the easiest at the same pace"
	}
	where := "Number " + units.FormatDecimal(float64(place+1), 0)
	if place < len(ordinals) {
		where = ordinals[place]
	}
	r := shoeResult{Title: effortTitle(e), Chance: nonBreaking("chance to be " + best + " " + answer.Chance(p.Best)),
		Said: nonBreaking(where + " of " + units.Count(len(g.Places), "shoe") + " by estimate. It is " +
			answer.LikelyToBe(p.Best, best) + " (" + answer.Chance(p.Best) + ").")}
	id := "result-" + units.FormatDecimal(float64(number), 0)
	f := s.groupFigure(e, g, id, true)
	f.Rows[place].Strong = true
	r.Picture = bothWidths(f, intervalCaption)
	if number == 0 {
		alone := s.groupFigure(e, g, id, false)
		alone.Rows[place].Strong = true
		r.Shared = s.stableFigure("shoe-"+escape(p.Shoe, '~'), "../", alone)
	}
	of := func(pair *answer.Pair) bool { return pair.Shoe == p.Shoe || pair.Reference == p.Shoe }
	for i := range g.Pairs {
		if pair := &g.Pairs[i]; of(pair) && len(g.Places) <= maxNear { // more are in the table alone
			r.Pairs = append(r.Pairs, nonBreaking(s.speaker.PairSentence(e, pair)))
		}
	}
	r.Table = s.groupTable(e, g, "../", of)
	return r
}

func shoeFacts(registered *trial.Shoe) []factLine {
	mass, ounces := massBoth(registered.MassG)
	worn, wornMiles := bothUnits(registered.WornKm, 0, "km")
	lasts, lastsMiles := bothUnits(registered.ExpectedKm, 0, "km")
	return withValues(
		fact{"Mass of one shoe", mass, ounces}, fact{"Size", quantity(registered.SizeEU, 1, "EU"), ""},
		fact{"Heel and forefoot height", heights(registered), ""}, fact{"Plate", registered.Plate, ""},
		fact{"Worn before the trial", worn, wornMiles}, fact{"Expected to last", lasts, lastsMiles},
		fact{"Price", recommend.PriceText(registered.Price, registered.Currency), ""},
		fact{"How obtained", registered.Obtained, ""},
	)
}

func heights(registered *trial.Shoe) string {
	var both []string
	for _, mm := range []float64{registered.HeelMm, registered.ForefootMm} {
		if text := quantity(mm, 1, "mm"); text != "" {
			both = append(both, text)
		}
	}
	return strings.Join(both, " and ")
}

func (s *site) sessionsWith(id string) []*trial.Session {
	var found []*trial.Session
	for i := range s.ds.Sessions {
		for _, b := range s.ds.Sessions[i].Blocks {
			if b.Shoe == id {
				found = append(found, &s.ds.Sessions[i])
				break
			}
		}
	}
	return found
}

// shoeSessions lists the last sessions with a shoe, and says how many there are where it lists
// not all.
func (s *site) shoeSessions(id string) table {
	t := table{Cards: true, Caption: "Sessions in " + s.label(id),
		Head: columns("Session", "Venue", "Effort", "Order run", "Surface")}
	all := s.sessionsWith(id)
	if len(all) > perPage {
		t.Caption = "The last " + units.FormatDecimal(perPage, 0) + " of " + units.Count(len(all), "session") + " in " +
			s.label(id)
	}
	for _, session := range all[max(0, len(all)-perPage):] {
		t.Rows = append(t.Rows, []cell{
			link(s.lookup.names[session.ID], "../sessions/"+pageName(session.ID)),
			text(s.venue(session)), text(targetsOf(session)),
			s.orderLetters(session, "../"), text(session.Facts.Conditions.Surface),
		})
	}
	return t
}
