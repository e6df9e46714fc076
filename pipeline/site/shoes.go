package site

import (
	"cmp"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/recommend"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

type shoesBody struct {
	Table table
}

// shoeBody is the page of one shoe.
type shoeBody struct {
	Shoe        shoe
	Facts       []fact
	Notes       string
	Sentences   []string
	Comparisons []table
	Evidence    evidenceBody
	Weight      *weightBody
	Sensor      table
	Sessions    table
	Disclosure  string
}

func (s *site) shoes() error {
	body := shoesBody{Table: table{Caption: "The shoes of this trial",
		Head: columns("Shoe", "#Mass of one shoe", "#Heel and forefoot height", "Plate", "#Worn before", "#Sessions")}}
	for i := range s.ds.Shoes {
		registered := &s.ds.Shoes[i]
		seen := s.shoe(registered.ID, "../")
		body.Table.Rows = append(body.Table.Rows, []cell{
			shoeCell(seen), numeric(mass(registered.MassG)), numeric(heights(registered)), text(registered.Plate),
			numeric(quantity(registered.WornKm, 0, "km")), numeric(
				figure.Plain(float64(len(s.sessionsWith(registered.ID))), 0)),
		})
		if err := s.shoePage(registered); err != nil {
			return err
		}
	}
	return s.page("shoes/index.html", "shoes", "Shoes", body)
}

func (s *site) shoePage(registered *trial.Shoe) error {
	body := shoeBody{Shoe: s.shoe(registered.ID, "../"), Facts: shoeFacts(registered), Notes: registered.Notes,
		Disclosure: s.ds.Facts.Disclosure}
	body.Sentences = s.sentences(registered.ID)
	body.Comparisons = s.comparisonTables(registered.ID)
	body.Weight = s.weight(registered)
	body.Evidence = s.evidence(registered.ID)
	body.Sensor = s.shoeSensor(registered.ID)
	body.Sessions = s.shoeSessions(registered.ID)
	return s.page("shoes/"+pageName(registered.ID), "shoe", body.Shoe.Label, body)
}

func shoeFacts(registered *trial.Shoe) []fact {
	return withValues(
		fact{"Mass of one shoe", mass(registered.MassG)}, fact{"Size", quantity(registered.SizeEU, 1, "EU")},
		fact{"Heel and forefoot height", heights(registered)}, fact{"Plate", registered.Plate},
		fact{"Worn before the trial", withImperial(registered.WornKm, 0, "km")}, fact{"Expected to last",
			withImperial(registered.ExpectedKm, 0, "km")}, fact{"Price", recommend.PriceText(registered.Price,
			registered.Currency)}, fact{"How obtained", registered.Obtained},
	)
}

func heights(registered *trial.Shoe) string {
	bothWidths := []string{}
	for _, mm := range []float64{registered.HeelMm, registered.ForefootMm} {
		if text := quantity(mm, 1, "mm"); text != "" {
			bothWidths = append(bothWidths, text)
		}
	}
	return strings.Join(bothWidths, " and ")
}

// sentences says each comparison that decides and involves the shoe, seen from
// this shoe.
func (s *site) sentences(id string) []string {
	var lines []string
	for _, c := range s.deciding(id) {
		lines = append(lines, nonBreaking(c.Sentence(s.label, s.ds.Facts.Method.Confidence)))
	}
	return lines
}

// deciding returns the comparisons of a shoe in the outcomes that decide, in the
// order of the rankings.
func (s *site) deciding(id string) []compare.Comparison {
	var found []compare.Comparison
	for _, r := range s.result.Compare.Rankings {
		for _, c := range s.involving(id) {
			if c.Outcome == r.Outcome && c.Level == r.Level {
				found = append(found, c)
			}
		}
	}
	return found
}

// involving returns the comparisons of a shoe, seen from it.
func (s *site) involving(id string) []compare.Comparison {
	var found []compare.Comparison
	for _, c := range s.result.Compare.Comparisons {
		switch id {
		case c.Shoe:
			found = append(found, c)
		case c.Reference:
			found = append(found, c.Reverse())
		}
	}
	return found
}

// comparisonTables makes one table per level with every outcome.
func (s *site) comparisonTables(id string) []table {
	var tables []table
	place := map[string]int{}
	for _, c := range s.involving(id) {
		at, seen := place[c.Level]
		if !seen {
			at = len(tables)
			place[c.Level] = at
			tables = append(tables, table{
				Caption: s.label(id) + " " + compare.AtLevel(c.Level) + ", difference with " +
					percentOf(s.ds.Facts.Method.Confidence) + " % interval",
				Head: columns("Outcome", "Against", "#Difference", "In words", "#Sessions", "#Blocks", "Evidence"),
			})
		}
		tables[at].Rows = append(tables[at].Rows, []cell{
			text(c.Outcome.Info().Label), shoeCell(s.shoe(c.Reference, "../")),
			numeric(difference(estimateOf(&c), c.Outcome)), text(s.apartWords(&c)),
			numeric(figure.Plain(float64(c.Sessions), 0)), numeric(figure.Plain(float64(c.Blocks), 0)),
			text(string(c.Evidence)),
		})
	}
	return tables
}

// conclusive reports whether a direction may be named: the interval leaves zero out,
// and so does the adjustment for judging all pairs together.
func (s *site) conclusive(c *compare.Comparison) bool {
	return c.Conclusive() && !(c.PAdjusted > 1-s.ds.Facts.Method.Confidence)
}

func (s *site) apartWords(c *compare.Comparison) string {
	switch {
	case c.Model == compare.NotComparable:
		return "never run in one session"
	case !estimateOf(c).Bounded():
		return figure.NoInterval
	case !s.conclusive(c):
		return "cannot be told apart"
	}
	words := "lower"
	if c.Estimate > 0 {
		words = "higher"
	}
	if !units.Known(c.PAdjusted) {
		words += ", judged by itself"
	}
	return words
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

func (s *site) shoeSessions(id string) table {
	t := table{Caption: "Sessions in " + s.label(id), Head: columns("Session", "Place", "Held", "Order run", "Surface")}
	for _, session := range s.sessionsWith(id) {
		t.Rows = append(t.Rows, []cell{
			link(cmp.Or(session.Facts.Date, session.ID), "../sessions/"+pageName(session.ID)), text(s.venue(session)),
			text(targetsOf(session)),
			s.orderLetters(session, "../"), text(session.Facts.Conditions.Surface),
		})
	}
	return t
}
