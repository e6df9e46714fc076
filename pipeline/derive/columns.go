package derive

import (
	"slices"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
)

// TableColumns describes the columns of a derived table by its name, such as
// "blocks.csv"; nil where there is no such table. What stands here is all there is to
// a column: header and cells, the Table Schema of the published data, the site's page
// of columns, and the JSON of a comparison follow from it.
func TableColumns(name string) []Column {
	for _, t := range withColumns {
		if t.name == name {
			return t.columns
		}
	}
	return nil
}

// blockRow is a row of blocks.csv.
type blockRow struct {
	session string
	*Block
}

var blockColumns = append([]column[*blockRow]{
	text("session", "Session id", func(r *blockRow) string { return r.session }).required(),
	text("block", "Name of the block in its session", func(r *blockRow) string { return r.Block.Block }).required(),
	text("shoe", "Id from shoes.csv", func(r *blockRow) string { return r.Shoe }),
	count("order", "Place in the session, 1 for the first block",
		func(r *blockRow) int { return r.Order }).required().within("1", ""),
	yesNo("included", "Whether the block is included in the comparison",
		func(r *blockRow) bool { return r.Included }).required(),
	text("reason", "Why it is excluded, or the reason of an override",
		func(r *blockRow) string { return r.Reason }),
	number("midpoint_s", "s", "Middle of the whole block on the session's clock", 1,
		func(r *blockRow) float64 { return r.Midpoint }),
	number("window_s", "s", "Length of the steady window", 1,
		func(r *blockRow) float64 { return r.Window() }).within("0", ""),
	number("coverage_pct", "%",
		"Share of the steady window with valid samples, the least over the channels that decide", 2,
		func(r *blockRow) float64 { return r.CoveragePct }).within("0", "100"),
}, outcomeColumns()...)

// outcomeColumns are the means of every outcome.
func outcomeColumns() []column[*blockRow] {
	var columns []column[*blockRow]
	for o := range trial.OutcomeCount {
		info := o.Info()
		columns = append(columns, number(info.Column, info.Unit, "Mean "+info.Label+" over the steady window",
			o.Decimals(), func(r *blockRow) float64 { return r.Outcomes[o] }))
	}
	return columns
}

type comparison = compare.Comparison

// targetOf is the target in the name of a level, "" where it has none.
func targetOf(level string) string {
	_, target, _ := strings.Cut(level, " ")
	return target
}

// inUnit is the unit of what is reported in the column unit.
const inUnit = "in the column unit"

// pairColumns are the columns that comparisons.csv and sessions.csv share. log_* and
// the standard deviations are natural logarithms for outcomes reported in percent,
// else in the outcome's unit.
var pairColumns = []column[*comparison]{
	text("outcome", "What is compared", func(c *comparison) string { return c.Outcome.Info().ID }).required(),
	text("unit",
		"Unit of estimate, low, high, the drifts and the correction; percent for outcomes compared as logarithms",
		(*comparison).Unit).required(),
	text("effort", "What was held", func(c *comparison) string { return string(c.Effort) }).required(),
	text("target", "Target of the effort: W, bpm, or a pace in min:s per km",
		func(c *comparison) string { return targetOf(c.Level) }),
	text("model", "What the estimate rests on", func(c *comparison) string { return string(c.Model) }).required(),
	text("shoe", "Id from shoes.csv", func(c *comparison) string { return c.Shoe }).required(),
	text("reference", "Id from shoes.csv of the shoe it is compared with",
		func(c *comparison) string { return c.Reference }).required(),
	count("runners", "Runners with a block in either shoe", func(c *comparison) int { return c.Runners }).required(),
	count("sessions", "Sessions with a block in either shoe",
		func(c *comparison) int { return c.Sessions }).required(),
	count("blocks", "Blocks in either shoe", func(c *comparison) int { return c.Blocks }).required(),
	number("log_estimate", "natural logarithm; the outcome's unit where that is not a ratio",
		"Difference, shoe minus reference", 9, func(c *comparison) float64 { return c.LogEstimate }),
	number("log_se", "as log_estimate", "Standard error of log_estimate", 9,
		func(c *comparison) float64 { return c.LogSE }).within("0", ""),
	number("df", "", "Degrees of freedom of the interval", 4,
		func(c *comparison) float64 { return c.DF }).within("0", ""),
	number("estimate", inUnit, "Difference, shoe against reference", 4,
		func(c *comparison) float64 { return c.Estimate }),
	number("low", inUnit, "Lower end of the interval", 4, func(c *comparison) float64 { return c.Low }),
	number("high", inUnit, "Upper end of the interval", 4, func(c *comparison) float64 { return c.High }),
	probability("p_value", "Two-sided p value of this difference alone", func(c *comparison) float64 { return c.P }),
	probability("p_adjusted", "p value corrected for all pairs of the deciding outcome at this effort and target",
		func(c *comparison) float64 { return c.PAdjusted }),
	number("between_sd", "as log_estimate", "Standard deviation of a shoe's mean from session to session", 9,
		func(c *comparison) float64 { return c.BetweenSD }).within("0", ""),
	number("residual_sd", "as log_estimate", "Standard deviation of blocks of one shoe in one session", 9,
		func(c *comparison) float64 { return c.ResidualSD }).within("0", ""),
	number("drift_per_h", inUnit+", per hour", "Drift over a session", 4,
		func(c *comparison) float64 { return c.DriftPerHour }),
	number("drift_se", inUnit+", per hour", "Standard error of drift_per_h", 4,
		func(c *comparison) float64 { return c.DriftSE }).within("0", ""),
	number("tipping_drift_per_block", inUnit+", per block", "Drift that alone would make the difference", 4,
		func(c *comparison) float64 { return c.TippingDrift }),
	text("evidence", "How strong the evidence is, in a word",
		func(c *comparison) string { return string(c.Evidence) }).required(),
	number("adjustment", inUnit, "By how much the correction to equal effort changed the estimate", 4,
		func(c *comparison) float64 { return c.Adjustment }),
	text("notes", "How the model was chosen and what was excluded",
		func(c *comparison) string { return strings.Join(c.Notes, "; ") }),
}

var comparisonColumns = append(pairColumns[:len(pairColumns):len(pairColumns)],
	number("sensor_error", "%",
		"Largest difference between the two shoes' sensor checks: how much could be the sensor", 4,
		func(c *comparison) float64 { return c.SensorErrorPct }).within("0", ""),
	probability("randomisation_p", "p value of the randomisation test over the orders that plans could have drawn. "+
		"Blank where no session followed its drawn order, and with fewer than 20 orders",
		func(c *comparison) float64 { return c.Randomisation.P }),
	probability("randomisation_p_at_ends", "The larger p value of the same test at the ends of the interval; "+
		"small where test and model agree", func(c *comparison) float64 { return c.Randomisation.PAtEnds }),
	count("orders", "Orders that were tried",
		func(c *comparison) int { return c.Randomisation.Draws }).blankUnless(runAsDrawn),
	yesNo("orders_exact", "Whether they are all that could have been made",
		func(c *comparison) bool { return c.Randomisation.Exact }).blankUnless(runAsDrawn),
	count("sessions_as_planned", "Sessions that were run as drawn and hold both shoes",
		func(c *comparison) int { return c.Randomisation.Sessions }).blankUnless(runAsDrawn),
)

func runAsDrawn(c *comparison) bool { return c.Randomisation.Sessions > 0 }

type sessionComparison = compare.SessionComparison

var sessionColumns = slices.Concat(
	[]column[*sessionComparison]{
		text("session", "Session id", func(c *sessionComparison) string { return c.Session }).required(),
		date("date", "Local date of the session", func(c *sessionComparison) string { return c.Date }).required(),
	},
	columnsOf(pairColumns, func(c *sessionComparison) *comparison { return &c.Comparison }),
	[]column[*sessionComparison]{
		number("to_date", inUnit, "Difference over all sessions up to and including this one", 4,
			func(c *sessionComparison) float64 { return c.ToDate }),
		number("to_date_low", inUnit, "Lower end of its interval", 4,
			func(c *sessionComparison) float64 { return c.ToDateLow }),
		number("to_date_high", inUnit, "Upper end of its interval", 4,
			func(c *sessionComparison) float64 { return c.ToDateHigh }),
	},
)

var findingColumns = []column[*trial.Finding]{
	text("session", "Session id; blank for the whole dataset", func(f *trial.Finding) string { return f.Session }),
	text("block", "Block; blank for the whole session", func(f *trial.Finding) string { return f.Block }),
	text("rule", "Name of the rule", func(f *trial.Finding) string { return string(f.Rule) }).required(),
	text("severity", "How serious it is; a stop excludes its block",
		func(f *trial.Finding) string { return string(f.Severity) }).
		required().oneOf(string(trial.Stop), string(trial.Warn), string(trial.Note)),
	number("value", "as the rule says", "What was measured", 4, func(f *trial.Finding) float64 { return f.Value }),
	number("limit", "as the rule says", "The limit it is compared with", 4,
		func(f *trial.Finding) float64 { return f.Limit }),
	text("message", "The finding in words, with its units",
		func(f *trial.Finding) string { return FindingText(*f) }).required(),
}

var forecastColumns = []column[*forecast.Row]{
	text("shoe", "Id from shoes.csv", func(f *forecast.Row) string { return f.Shoe }).required(),
	text("reference", "Id from shoes.csv of the shoe it is compared with",
		func(f *forecast.Row) string { return f.Reference }).required(),
	number("distance_m", "m", "Race distance", 1,
		func(f *forecast.Row) float64 { return f.DistanceM }).required().within("0", ""),
	number("base_time_s", "s", "Time expected in the reference shoe", 1,
		func(f *forecast.Row) float64 { return f.BaseTimeS }).required().within("0", ""),
	number("time_change_s", "s", "Time in the shoe minus base_time_s; negative is faster", 1,
		func(f *forecast.Row) float64 { return f.ChangeS }),
	number("low", "s", "Lower end of its interval", 1, func(f *forecast.Row) float64 { return f.LowS }),
	number("high", "s", "Upper end of its interval", 1, func(f *forecast.Row) float64 { return f.HighS }),
	text("curve", "Published curve of running cost against speed",
		func(f *forecast.Row) string { return f.Curve }).required(),
	text("extrapolated",
		"What is outside the evidence in this race, separated by spaces; blank when nothing is",
		func(f *forecast.Row) string { return strings.Join(f.Extrapolated, " ") }),
}

var sensorColumns = []column[*sensor.Row]{
	text("scope", "Whether the row is about the dataset or one session", func(r *sensor.Row) string {
		if r.Session == "" {
			return "dataset"
		}
		return "session"
	}).required().oneOf("dataset", "session"),
	text("session", "Session id; blank for the dataset", func(r *sensor.Row) string { return r.Session }),
	text("shoe", "Id from shoes.csv", func(r *sensor.Row) string { return r.Shoe }),
	text("check", "Which check", func(r *sensor.Row) string { return r.Check }).required(),
	number("ratio", "", "Mean ratio of two measurements of the same thing; 1 when both agree", 6, (*sensor.Row).Ratio),
	number("sd", "", "Standard deviation of the blocks' ratios; blank for one block", 6,
		(*sensor.Row).SD).within("0", ""),
	count("blocks", "Blocks it is about", (*sensor.Row).Blocks).required(),
}
