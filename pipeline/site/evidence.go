package site

import (
	"slices"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// evidenceBody is what a sceptic asks of the comparisons that decide: what they rest
// on, and what would overturn them.
type evidenceBody struct {
	Table   table
	Runners table
	Notes   []string
}

// modelWords says in a table cell what a comparison rests on.
var modelWords = map[compare.Model]string{
	compare.PooledRunners: "runners' own, pooled", compare.Mixed: "mixed model", compare.LeastSquares: "least squares",
	compare.OneSession:     "one session",
	compare.DifferenceOnly: "difference only", compare.NotComparable: "not comparable",
}

func (s *site) evidence(id string, deciding []compare.Comparison) evidenceBody {
	body := evidenceBody{Table: table{
		Caption: "What the differences of " + s.label(id) + " rest on",
		Head: columns("Shoe", "Against", "Outcome", "Model", "#Degrees of freedom", "#p, adjusted for all pairs",
			"#Correcting for effort",
			"#Drift, per hour", "#Drift per block that would make the difference", "#Without any one block",
			"#Could be sensor"),
	}}
	body.Runners = s.runnersOf(deciding, s.label(id), "../")
	for i := range deciding {
		c := &deciding[i]
		body.Table.Rows = append(body.Table.Rows, s.evidenceRow(c))
		for _, note := range c.Notes {
			if !slices.Contains(body.Notes, note) {
				body.Notes = append(body.Notes, note)
			}
		}
	}
	return body
}

func (s *site) evidenceRow(c *compare.Comparison) []cell {
	return []cell{
		shoeCell(s.shoe(c.Shoe, "../")), shoeCell(s.shoe(c.Reference, "../")), text(c.Outcome.Info().Label + " " +
			compare.AtLevel(c.Level)),
		text(modelWords[c.Model]),
		numeric(figure.Plain(c.DF, 1)), numeric(units.FormatSignificant(c.PAdjusted, 2)),
		numeric(amount(c.Adjustment, c.Outcome)),
		numeric(amount(c.DriftPerHour, c.Outcome)), numeric(amount(c.TippingDrift, c.Outcome)), numeric(leaveOneOut(c)),
		numeric(couldBeSensor(c)),
	}
}

// couldBeSensor writes how much of a difference could be the sensor.
func couldBeSensor(c *compare.Comparison) string {
	if !units.Known(c.SensorErrorPct) {
		return ""
	}
	return "up to " + figure.Plain(c.SensorErrorPct, estimateDecimals) + "\u00a0%"
}

// amount writes a signed amount with its unit; "" when it is missing.
func amount(x float64, o trial.Outcome) string {
	if !units.Known(x) {
		return ""
	}
	return figure.Signed(x, estimateDecimals) + "\u00a0" + unitOf(o)
}

// leaveOneOut writes the range of the estimate with each block left out in turn.
func leaveOneOut(c *compare.Comparison) string {
	if !units.Known(c.WithoutLow) || !units.Known(c.WithoutHigh) {
		return ""
	}
	return figure.Signed(c.WithoutLow, estimateDecimals) + " to " + amount(c.WithoutHigh, c.Outcome)
}
