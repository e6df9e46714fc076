package datapackage

import "soletrial/pipeline/trial"

func derivedBlocks() []Field {
	fields := []Field{
		always(word("session", "Session id")), always(word("block", "Name of the block in its session")), word("shoe",
			"Id from shoes.csv"),
		always(within("1", "", count("order", "Place in the session, 1 for the first block"))),
		always(yesNo("included", "Whether the block takes part in the comparison")),
		word("reason", "Why it does not, or the written reason that let it in"),
		number("midpoint_s", "s", "Middle of the whole block on the session's clock"), within("0", "",
			number("window_s", "s", "Length of the steady window")),
		within("0", "100", number("coverage_pct", "%", "Share of the steady window with valid samples, the least "+
			"over the channels that decide")),
	}
	for o := range trial.OutcomeCount {
		info := o.Info()
		fields = append(fields, number(info.Column, info.Unit, "Mean "+info.Label+" over the steady window"))
	}
	return fields
}

// comparisonFields are the columns that comparisons.csv and sessions.csv share.
// log_* and the standard deviations are natural logarithms for outcomes reported
// in percent, else in the outcome's unit.
func comparisonFields() []Field {
	own := "in the column unit"
	return []Field{
		always(word("outcome", "What is compared")),
		always(word("unit", "Unit of estimate, low, high, the drifts and the adjustment; percent for outcomes "+
			"compared as logarithms")),
		always(word("level", "Effort held and its target")), always(word("model", "What the estimate rests on")),
		always(word("shoe", "Id from shoes.csv")), always(word("reference",
			"Id from shoes.csv of the shoe it is compared with")),
		always(count("runners", "Runners with a block in either shoe")), always(count("sessions",
			"Sessions with a block in either shoe")), always(count("blocks", "Blocks in either shoe")),
		number("log_estimate", "natural logarithm; the outcome's unit where that is not a ratio",
			"Difference, shoe minus reference"),
		within("0", "", number("log_se", "as log_estimate", "Standard error of log_estimate")), within("0", "",
			number("df", "", "Degrees of freedom of the interval")),
		number("estimate", own, "Difference, shoe against reference"), number("low", own, "Lower end of the interval"),
		number("high", own, "Upper end of the interval"),
		within("0", "1", number("p_value", "", "Two-sided p value of this difference alone")), within("0", "1",
			number("p_adjusted", "", "p value with all pairs of the deciding outcome at this level judged together")),
		within("0", "", number("between_sd", "as log_estimate",
			"Standard deviation of a shoe's mean from session to session")),
		within("0", "", number("residual_sd", "as log_estimate",
			"Standard deviation of blocks of one shoe in one session")),
		number("drift_per_h", own+", per hour", "Drift over a session"), within("0", "",
			number("drift_se", own+", per hour", "Standard error of drift_per_h")),
		number("tipping_drift_per_block", own+", per block", "Drift that alone would make the difference"),
		always(word("evidence", "How strong the evidence is, in a word")),
		number("adjustment", own, "What the equal-effort adjustment changed"), word("notes",
			"How the model was chosen and what was left out"),
	}
}

func comparisons() []Field {
	return append(comparisonFields(),
		within("0", "", number("sensor_error", "%", "Largest difference between the two shoes' sensor checks: how "+
			"much could be the sensor")),
		within("0", "1", number("draw_p", "", "p value of the randomisation test over the orders that plans could "+
			"have drawn; blank where no session was run as drawn")),
		within("0", "1", number("draw_p_at_ends", "", "The larger p value of the same test at the ends of the "+
			"interval; small where test and model agree")),
		count("draws", "Draws that were looked at"), yesNo("draws_exact", "Whether they are all that could have "+
			"been made"), count("draw_sessions", "Sessions that were run as drawn and hold both shoes"))
}

func sessions() []Field {
	own := "in the column unit"
	fields := append([]Field{always(word("session", "Session id")),
		always(Field{Name: "date", Type: "date", Meaning: "Local date of the session"})}, comparisonFields()...)
	return append(fields,
		number("to_date", own, "Difference over all sessions up to and including this one"), number("to_date_low", own,
			"Lower end of its interval"), number("to_date_high", own, "Upper end of its interval"))
}

var findings = []Field{
	word("session", "Session id; blank for the whole dataset"), word("block", "Block; blank for the whole session"),
	always(word("rule", "Name of the rule")),
	always(oneOf(word("severity", "How much it weighs: a stop keeps its block out"), string(trial.Stop),
		string(trial.Warn), string(trial.Note))),
	number("value", "as the rule says", "What was measured"), number("limit", "as the rule says",
		"The limit it is held against"), always(word("message", "The finding in words, with its units")),
}

var forecast = []Field{
	always(word("shoe", "Id from shoes.csv")), always(word("reference",
		"Id from shoes.csv of the shoe it is compared with")),
	always(within("0", "", number("distance_m", "m", "Race distance"))),
	always(within("0", "", number("base_time_s", "s", "Time expected in the reference shoe"))),
	number("time_change_s", "s", "Time in the shoe minus base_time_s; negative is faster"), number("low", "s",
		"Lower end of its interval"), number("high", "s", "Upper end of its interval"),
	always(word("curve", "Published curve of running cost against speed")), word("extrapolated",
		"What about the race lies outside the evidence, parted by blanks; blank when nothing does"),
}

var sensor = []Field{
	always(oneOf(word("scope", "Whether the row is about the dataset or one session"), "dataset", "session")),
	word("session", "Session id; blank for the dataset"), word("shoe", "Id from shoes.csv"),
	always(word("check", "Which check")), number("ratio", "", "Mean ratio of two ways to know the same thing; 1 when "+
		"both agree"), within("0", "", number("sd", "", "Standard deviation of the blocks' ratios; blank for "+
		"one block")),
	always(count("blocks", "Blocks it is about")),
}
