package site

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/units"
)

// ranking makes the figure of a ranking.
func (s *site) ranking(r *compare.Ranking, number int, title string) figure.Ranking {
	f := figure.Ranking{
		Head: figure.Head{ID: "ranking-" + strconv.Itoa(number), Title: title, Desc: s.rankingWords(r)},
		Axis: rankingAxis(r, s.label(referenceOf(r))), Unit: unitOf(r.Outcome), Decimals: estimateDecimals,
	}
	for i := range r.Places {
		p := &r.Places[i]
		row := figure.RankingRow{Label: s.letterAndLabel(p.Shoe), Shoe: s.place(p.Shoe), Reference: p.Reference,
			Estimate: placeEstimate(p)}
		for j := range r.Places {
			if slices.Contains(p.Apart, r.Places[j].Shoe) {
				row.Apart = append(row.Apart, j)
			}
		}
		f.Rows = append(f.Rows, row)
	}
	return f
}

// letterAndLabel is a shoe's letter and label in one line of plain text.
func (s *site) letterAndLabel(id string) string {
	if known := s.shoe(id, ""); known.Href != "" {
		return known.Letter + "  " + known.Label
	}
	return s.label(id)
}

// rankingAxis names the axis and says which side is the better one.
func rankingAxis(r *compare.Ranking, reference string) string {
	axis := unitOf(r.Outcome) + " " + r.Outcome.Info().Label + " from " + reference
	switch r.Outcome.Info().Better {
	case 1:
		return axis + "; right is better"
	case -1:
		return axis + "; left is better"
	}
	return axis
}

// rankingWords is the text alternative of a ranking.
func (s *site) rankingWords(r *compare.Ranking) string {
	var lines []string
	for i := range r.Places {
		p := &r.Places[i]
		line := s.label(p.Shoe) + ": reference"
		if !p.Reference {
			e := placeEstimate(p)
			line = s.label(p.Shoe) + ": " + difference(e, r.Outcome)
			if e.Bounded() && !slices.Contains(p.Apart, referenceOf(r)) {
				line += ", cannot be told apart from " + s.label(referenceOf(r))
			}
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, "; ") + "."
}

func referenceOf(r *compare.Ranking) string {
	for i := range r.Places {
		if r.Places[i].Reference {
			return r.Places[i].Shoe
		}
	}
	return ""
}

func placeEstimate(p *compare.Place) figure.Estimate {
	return figure.Estimate{Value: p.Estimate, Low: p.Low, High: p.High}
}

func percentOf(share float64) string {
	return strings.TrimSpace(quantity(units.Round(100*share, 1), 1, ""))
}

// progress makes one panel per shoe of the first ranking: how the comparison with
// its reference shoe moved as sessions came in.
func (s *site) progress() []figure.Progress {
	if len(s.result.Compare.Rankings) == 0 {
		return nil
	}
	r := &s.result.Compare.Rankings[0]
	reference := referenceOf(r)
	var panels []figure.Progress
	for _, p := range r.Places {
		if steps := s.steps(r, p.Shoe, reference); !p.Reference && len(steps) > 0 {
			title := s.label(p.Shoe) + " against " + s.label(reference)
			panels = append(panels, figure.Progress{
				Head: figure.Head{ID: "to-date-" + strconv.Itoa(len(panels)), Title: title + ", session by session",
					Desc: stepWords(steps)},
				Axis: title + ", " + unitOf(r.Outcome), Shoe: s.place(p.Shoe), Steps: steps,
			})
		}
	}
	for i := range panels {
		for j := range panels {
			if i != j {
				panels[i].Beside = append(panels[i].Beside, panels[j].Steps...)
			}
		}
	}
	return panels
}

func (s *site) steps(r *compare.Ranking, shoe, reference string) []figure.Step {
	var steps []figure.Step
	for _, c := range s.result.Compare.Sessions {
		if c.Outcome == r.Outcome && c.Level == r.Level && c.Shoe == shoe && c.Reference == reference {
			steps = append(steps, figure.Step{Label: c.Date, Own: c.Estimate,
				Cumulative: figure.Estimate{Value: c.ToDate, Low: c.ToDateLow, High: c.ToDateHigh}})
		}
	}
	slices.SortStableFunc(steps, func(a, b figure.Step) int { return cmp.Compare(a.Label, b.Label) })
	return steps
}

func stepWords(steps []figure.Step) string {
	var lines []string
	for _, step := range steps {
		lines = append(lines, step.Label+": "+step.Cumulative.Words(estimateDecimals, "so far"))
	}
	return strings.Join(lines, "; ") + "."
}
