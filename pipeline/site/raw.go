package site

import (
	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/units"
)

// rawBody is the analysis without assumptions of one shoe: every outcome, level by level,
// and what the comparisons rest on.
type rawBody struct {
	Comparisons []table
	Evidence    evidenceBody
	Some        bool // not against every other shoe
}

func (s *site) raw(id string) rawBody {
	near := s.near()
	involving := s.involving(id, near)
	return rawBody{s.comparisonTables(id, involving), s.evidence(id, s.deciding(involving)), near != nil}
}

// deciding returns those of the comparisons that are in the outcomes that decide, in the
// order of the rankings.
func (s *site) deciding(of []compare.Comparison) []compare.Comparison {
	var found []compare.Comparison
	for _, r := range s.result.Compare.Rankings {
		for i := range of {
			if c := &of[i]; c.Outcome == r.Outcome && c.Level == r.Level {
				found = append(found, *c)
			}
		}
	}
	return found
}

// involving returns the comparisons of a shoe with the given ones, nil for all, the better shoe
// of each first.
func (s *site) involving(id string, others map[string]bool) []compare.Comparison {
	var found []compare.Comparison
	for _, c := range s.lookup.comparisons[id] {
		other := c.Shoe
		if other == id {
			other = c.Reference
		}
		if others == nil || others[other] {
			found = append(found, betterFirst(*c))
		}
	}
	return found
}

// betterFirst turns a comparison so that the better shoe is compared with the other; where
// more is neither better nor worse the larger one comes first.
func betterFirst(c compare.Comparison) compare.Comparison {
	if better := c.Outcome.Info().Better; better < 0 && c.Estimate > 0 || better >= 0 && c.Estimate < 0 {
		return c.Reverse()
	}
	return c
}

// comparisonTables makes one table per level with every outcome.
func (s *site) comparisonTables(id string, involving []compare.Comparison) []table {
	var tables []table
	place := map[string]int{}
	for i := range involving {
		c := &involving[i]
		// A table for each level, in the order in which they come.
		at, seen := place[c.Level]
		if !seen {
			at = len(tables)
			place[c.Level] = at
			tables = append(tables, table{
				Caption: s.label(id) + " " + compare.AtLevel(c.Level) + ", without assumptions: difference with " +
					percentOf(s.ds.Facts.Method.Confidence) + " % interval",
				Head: columns("Outcome", "Shoe", "Against", "#Difference", "In words", "#Sessions", "#Blocks"),
			})
		}
		tables[at].Rows = append(tables[at].Rows, []cell{
			text(c.Outcome.Info().Label), text(s.label(c.Shoe)), text(s.label(c.Reference)),
			numeric(difference(estimateOf(c), c.Outcome)), text(s.differenceWords(c)),
			numeric(figure.Plain(float64(c.Sessions), 0)), numeric(figure.Plain(float64(c.Blocks), 0)),
		})
	}
	return tables
}

// conclusive reports whether a direction may be named: the interval leaves zero out,
// and so does the adjustment for judging all pairs together.
func (s *site) conclusive(c *compare.Comparison) bool {
	return c.Conclusive() && !(c.PAdjusted > 1-s.ds.Facts.Method.Confidence)
}

func (s *site) differenceWords(c *compare.Comparison) string {
	switch {
	case c.Model == compare.NotComparable:
		return "never run in one session"
	case !estimateOf(c).Bounded():
		return figure.NoInterval
	case !s.conclusive(c):
		return "no clear difference"
	}
	words := "lower"
	if c.Estimate > 0 {
		words = "higher"
	}
	if !units.Known(c.PAdjusted) {
		words += ", by itself"
	}
	return words
}
