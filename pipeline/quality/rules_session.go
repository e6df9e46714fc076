package quality

import "soletrial/pipeline/trial"

// The slugs of the rules about the shoes of a session and about the session, in their documented order.
const (
	BlockNone        trial.RuleSlug = "block-none"
	GroundByShoe     trial.RuleSlug = "ground-by-shoe"
	StepByShoe       trial.RuleSlug = "step-by-shoe"
	OrderConfounded  trial.RuleSlug = "order-confounded"
	OneBlockPerShoe  trial.RuleSlug = "one-block-per-shoe"
	BlocksUnbalanced trial.RuleSlug = "blocks-unbalanced"
	RestUnequal      trial.RuleSlug = "rest-unequal"
	AirChanging      trial.RuleSlug = "air-changing"
	WarmUpShort      trial.RuleSlug = "warm-up-short"
	HeatCaution      trial.RuleSlug = "heat-caution"
	WindStrong       trial.RuleSlug = "wind-strong"
	PlanDeparted     trial.RuleSlug = "plan-departed"
	DeviationListed  trial.RuleSlug = "deviation-listed"
)

// byShoeNote is where several limits come from.
const byShoeNote = "an engineering choice: a sensor error that differs by shoe looks like a shoe effect of that size"

// sessionRules is the rules about the shoes of a session and about the session, in the order in which they run.
var sessionRules = []rule[sessionCheck]{
	{BlockNone, blockNone},
	{GroundByShoe, groundByShoe},
	{StepByShoe, stepByShoe},
	{OrderConfounded, orderConfounded},
	{OneBlockPerShoe, oneBlockPerShoe},
	{BlocksUnbalanced, blocksUnbalanced},
	{RestUnequal, restUnequal},
	{AirChanging, airChanging},
	{WarmUpShort, warmUpShort},
	{HeatCaution, heatCaution},
	{WindStrong, windStrong},
	{PlanDeparted, planDeparted},
	{DeviationListed, deviationListed},
}

// sessionWords says the same rules in words, in the same order.
var sessionWords = []Rule{
	{
		Slug:  BlockNone,
		Title: "no blocks", Brief: "a session without blocks", Severities: []trial.Severity{trial.Warn},
		Measures: "sessions without a block in blocks.csv, unless a plan.yaml says that they are still to be run",
		Limit:    "one block",
		Source:   "the block is the unit of every comparison (arithmetic)",
		Fix: "write blocks.csv: the shoe, the start and the end of every block; import proposes it from " +
			"laps or changes of effort",
		Hint: "write its blocks into blocks.csv; import proposes them from the recording",
	},
	{
		Slug:  GroundByShoe,
		Title: "sensor against ground differs by shoe", Brief: "a distance error that differs by shoe",
		Severities: []trial.Severity{trial.Warn},
		Measures: "the mean of sensor distance over ground distance of each shoe's blocks; the two shoes " +
			"furthest apart",
		Limit:  "{sensor_between_pct} %",
		Source: byShoeNote,
		Fix:    "fix the sensor the same way on every shoe, and take speed from measured laps where you can",
		Hint:   "up to that much of a difference between these shoes could be the sensor",
	},
	{
		Slug:  StepByShoe,
		Title: "cadence times step length differs by shoe", Brief: "a stride error that differs by shoe",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "the mean of cadence x step length over speed of each shoe's blocks; the two shoes furthest apart",
		Limit:      "{sensor_between_pct} %",
		Source:     byShoeNote,
		Fix:        "fix the sensor the same way on every shoe; measured laps show which of the three is off",
		Hint:       "up to that much of a difference between these shoes could be the sensor",
	},
	{
		Slug:  OrderConfounded,
		Title: "order confounded with time", Brief: "an order that does not spread the shoes evenly over the session",
		Severities: []trial.Severity{trial.Warn},
		Measures: "how much of the spread of the blocks' times the shoes explain, as a correlation. It is 0 for A " +
			"B B A, 0.45 for A B A B, 0.89 for A A B B",
		Limit: "{order_correlation}",
		Source: "arithmetic: the drift and the shoes cannot be separated when each shoe has its own part of the " +
			"session; the limit is an engineering choice",
		Fix:  "no analysis can repair it: run another session in the opposite order, or in a balanced one",
		Hint: "tiredness could pass for a shoe effect; run the opposite order too",
	},
	{
		Slug:  OneBlockPerShoe,
		Title: "one block per shoe", Brief: "no repeat within the session", Severities: []trial.Severity{trial.Note},
		Measures: "sessions of two or more shoes in which no shoe has a second block",
		Limit:    "two blocks of at least one shoe",
		Source:   "without a repeat, a shoe effect cannot be separated from chance (common practice, no source)",
		Fix:      "such a session alone gives no interval; it still counts together with others",
		Hint:     "this session alone gives no interval; repeat a shoe within the session next time",
	},
	{
		Slug:  BlocksUnbalanced,
		Title: "shoes run unequally often", Brief: "a shoe run much less often than another",
		Severities: []trial.Severity{trial.Note},
		Measures:   "the most blocks of a shoe divided by the fewest of another",
		Limit:      "{balance_ratio}",
		Source: "the variance of a difference goes with 1/n + 1/m blocks, least for n = m (arithmetic); " +
			"the limit is an engineering choice",
		Fix:  "the interval takes it into account; plan equal numbers",
		Hint: "equal numbers of blocks give the narrowest interval for the same work",
	},
	{
		Slug:  RestUnequal,
		Title: "rests unequal", Brief: "rests of different length", Severities: []trial.Severity{trial.Note},
		Measures: "the longest and the shortest time from the end of a block to the start of the next",
		Limit:    "{rest_apart_s} s",
		Source: "equal rests, or rest to a set heart rate (common practice, no source); the limit is an " +
			"engineering choice",
		Fix:  "say why in the notes; keep rests equal next time",
		Hint: "after a longer rest the next shoe has fresher legs and a lower heart rate",
	},
	{
		Slug:       AirChanging,
		Title:      "air temperature changed within the session",
		Brief:      "air that warmed or cooled between the blocks of a session",
		Severities: []trial.Severity{trial.Note},
		Measures:   "the mean of the recorded air_c in each block that is compared; the coldest and the warmest block",
		Limit:      "{air_within_c} °C",
		Source: engineering +
			"; heat enlarges the drift of heart rate (Wingo 2012, doi 10.1097/JES.0b013e31824c43af)",
		Fix: "a straight drift is removed; a sensor on the body or in the sun also warms up, so look at the trace " +
			"first",
		Hint: "check whether the sensor or the air warmed up; in a balanced order a steady change affects all " +
			"shoes alike",
	},
	{
		Slug:  WarmUpShort,
		Title: "no warm-up", Brief: "no warm-up", Severities: []trial.Severity{trial.Note},
		Measures: "protocol.warm_up_s, or what the recording holds before the first block where that is blank",
		Limit:    "{warm_up_s} s",
		Source:   "common practice, no source: the first blocks of a cold runner drift",
		Fix: "note the warm-up if there was one; in a balanced order the drift of the first blocks affects every " +
			"shoe",
		Hint: "the first blocks then serve as warm-up; write the warm-up into protocol.warm_up_s, or warm up for " +
			"longer",
	},
	{
		Slug:  HeatCaution,
		Title: "heat", Brief: "heat, by published levels", Severities: []trial.Severity{trial.Warn, trial.Note},
		Measures: "conditions.wbgt_c, or conditions.air_c where that is blank",
		Limit: "note from {heat_wbgt_c} °C, warning from {heat_wbgt_warn_c} °C; without it, note from " +
			"{heat_air_c} °C of air",
		Source: "levels of the American College of Sports Medicine, position stand 2007 (as in doi " +
			"10.1186/s12199-017-0675-y). Heat enlarges the drift of heart rate (Wingo 2012, doi " +
			"10.1097/JES.0b013e31824c43af). The limit for air is an engineering choice",
		Fix: "reference levels, no clearance: local rules, event medics and licensed clinicians decide. " +
			"Stop at dizziness, confusion or loss of coordination; suspected heat stroke is an emergency",
		Hint: "measure wbgt_c at the track; local rules, event medics and licensed clinicians decide",
	},
	{
		Slug:  WindStrong,
		Title: "strong wind", Brief: "wind, which does not cancel over a lap", Severities: []trial.Severity{trial.Warn},
		Measures: "conditions.wind_mps",
		Limit:    "{wind_mps} m/s",
		Source: "drag grows with the square of the air's speed (Pugh 1970), so wind does not cancel over a lap. " +
			"6.13 % of cost per 1 % of body weight (da Silva 2022), with a large spread between runners. The limit " +
			"is an engineering choice",
		Fix:  "run whole laps and more blocks, or wait for a calmer day; storms and lightning end a session",
		Hint: "wind does not cancel over a lap, and a gust affects only one shoe; run whole laps, and more blocks",
	},
	{
		Slug:  PlanDeparted,
		Title: "not as planned", Brief: "order, target, lengths, rests or method not as in plan.yaml",
		Severities: []trial.Severity{trial.Warn, trial.Note},
		Measures: "the order, effort, target, block lengths and rests of blocks.csv, and the method of " +
			"dataset.yaml, against plan.yaml; another order is a warning",
		Limit: "blocks within a tenth of their planned length, rests within {rest_apart_s} s, the rest exactly",
		Source: "changes after the start are reported (CENT 2015, doi 10.1136/bmj.h1738, items 3b and " +
			"13a, 13a from memory); a tenth is an engineering choice",
		Fix:  "do not change plan.yaml; write why into session.yaml, under deviations",
		Hint: "write why into session.yaml, under deviations; an order chosen on the day can favour a shoe",
	},
	{
		Slug:  DeviationListed,
		Title: "deviation from the plan", Brief: "what was not as planned",
		Severities: []trial.Severity{trial.Note},
		Measures:   "deviations in session.yaml",
		Limit:      "any",
		Source: "deviations from the planned sequence are reported (CENT 2015, doi 10.1136/bmj.h1738, item 13a " +
			"from memory)",
		Fix:  "nothing: they are shown so that a reader can judge them",
		Hint: "no action needed: readers see it beside the result",
	},
}
