package quality

import "soletrial/pipeline/trial"

// The slugs of the rules about blocks, in their documented order.
const (
	OutOfRange     trial.RuleSlug = "out-of-range"
	StepProduct    trial.RuleSlug = "step-product"
	ShoeBlank      trial.RuleSlug = "shoe-blank"
	BlockShort     trial.RuleSlug = "block-short"
	WindowShort    trial.RuleSlug = "window-short"
	BlockOutside   trial.RuleSlug = "block-outside"
	BlockOverlap   trial.RuleSlug = "block-overlap"
	CoverageLow    trial.RuleSlug = "coverage-low"
	EffortOff      trial.RuleSlug = "effort-off"
	EffortUnsteady trial.RuleSlug = "effort-unsteady"
	EffortDrifting trial.RuleSlug = "effort-drifting"
	HeartUnsettled trial.RuleSlug = "heart-unsettled"
	GroundDistance trial.RuleSlug = "ground-distance"
)

// Where several limits come from.
const (
	gaitLimits = "the defaults span published means: cadence Burns 2019 (doi 10.1152/japplphysiol.00374.2018), " +
		"contact and step length Karamanidis & Arampatzis 2005 (doi 10.1242/jeb.01830). Where they end " +
		"is an engineering choice"
	roundingNote = "rounding step length to 0.01 m and cadence to 1 step/min explains about 0.7 %; the limit is an " +
		"engineering choice"
)

// blockRules is the rules about blocks, in the order in which they run.
var blockRules = []rule[sessionCheck]{
	{OutOfRange, outOfRange},
	{StepProduct, stepProduct},
	{ShoeBlank, shoeBlank},
	{BlockShort, blockShort},
	{WindowShort, windowShort},
	{BlockOutside, blockOutside},
	{BlockOverlap, blockOverlap},
	{CoverageLow, coverageLow},
	{EffortOff, effortOff},
	{EffortUnsteady, effortUnsteady},
	{EffortDrifting, effortDrifting},
	{HeartUnsettled, heartUnsettled},
	{GroundDistance, groundDistance},
}

// blockWords says the same rules in words, in the same order.
var blockWords = []Rule{
	{
		Slug:  OutOfRange,
		Title: "value out of range", Brief: "values that cannot be right",
		Severities: []trial.Severity{trial.Stop, trial.Warn},
		Measures:   "block means, and single samples of the steady window, against what the channel can plausibly read",
		Limit: "limits.ranges: a mean outside stop is a stop; a mean outside warn, or any sample outside " +
			"stop, is a warning",
		Source: gaitLimits,
		Fix: "check the unit at import (steps or strides, mm or cm, km/h or m/s). A sensor that slipped " +
			"is a reason to set include to no",
		Hint: "check the sensor, and the unit at import: steps or strides, mm or cm, km/h or m/s; look at the trace",
	},
	{
		Slug:  StepProduct,
		Title: "cadence times step length against speed", Brief: "cadence x step length against speed",
		Severities: []trial.Severity{trial.Stop, trial.Warn},
		Measures:   "cadence/60 x step length divided by speed, from the block means",
		Limit:      "{step_product_pct} %; stop beyond {step_product_stop_pct} %",
		Source:     roundingNote,
		Fix: "one of the three is wrong. If the error differs by shoe, it looks exactly like a shoe effect: compare " +
			"with the measured laps",
		Hint: "compare with the measured laps; a sensor error that differs by shoe looks like a shoe effect",
	},
	{
		Slug:  ShoeBlank,
		Title: "shoe not filled in", Brief: "a block without a shoe", Severities: []trial.Severity{trial.Stop},
		Measures: "blocks without a shoe",
		Limit:    "every included block needs one",
		Source:   "import proposes blocks but cannot know the shoes",
		Fix:      "write the shoe's id from shoes.csv into the shoe column, or set include to no with a reason",
		Hint:     "write its id from shoes.csv into the shoe column, or include no with a reason",
	},
	{
		Slug:  BlockShort,
		Title: "block too short", Brief: "a block too short to settle", Severities: []trial.Severity{trial.Warn},
		Measures: "end_s - start_s",
		Limit:    "{block_min_s} s",
		Source: "heart rate reaches 95 % of a step in about 173 s (first order, tau 57.6 s: Hunt 2015, " +
			"doi 10.1186/s12938-015-0112-7)",
		Fix:  "run longer blocks; warm-up and rest laps proposed by import can be deleted",
		Hint: "run longer blocks, or delete the row if it is no block",
	},
	{
		Slug:  WindowShort,
		Title: "steady window too short", Brief: "little or nothing left after the trim",
		Severities: []trial.Severity{trial.Stop},
		Measures:   "what the trim leaves of the block",
		Limit:      "{window_min_s} s",
		Source:     engineering,
		Fix:        "delete the row if it is no block, or shorten method.trim for every block",
		Hint:       "delete the row if it is no block, or shorten method.trim",
	},
	{
		Slug:  BlockOutside,
		Title: "block outside the recording", Brief: "a block that reaches past the recording",
		Severities: []trial.Severity{trial.Stop},
		Measures:   "start_s and end_s against the first and last sample",
		Limit:      "a block may reach past the recording by limits.gap_s",
		Source:     "a block that was not recorded has no means",
		Fix:        "check start_s, end_s and the recording's offset_s",
		Hint:       "check start_s, end_s and offset_s",
	},
	{
		Slug:  BlockOverlap,
		Title: "blocks overlap", Brief: "blocks that share seconds", Severities: []trial.Severity{trial.Stop},
		Measures: "blocks that start before the previous one has ended",
		Limit:    "none allowed",
		Source:   "the same seconds cannot count for two shoes",
		Fix:      "correct start_s or end_s",
		Hint:     "correct start_s or end_s",
	},
	{
		Slug:  CoverageLow,
		Title: "coverage low", Brief: "too few valid samples in the steady window",
		Severities: []trial.Severity{trial.Stop, trial.Warn},
		Measures:   "the share of the steady window with valid samples of what was held and what is compared",
		Limit:      "{coverage_pct} %; stop below {coverage_stop_pct} %",
		Source:     engineering,
		Fix: "where no recording covers the block, import the one that does. Elsewhere look for dropouts of the " +
			"sensor. The mean of less than half the window says little",
		Hint: "look for dropouts of the sensor",
	},
	{
		Slug:  EffortOff,
		Title: "effort off target", Brief: "the effort was not held",
		Severities: []trial.Severity{trial.Stop, trial.Warn},
		Measures:   "mean of what was held divided by its target",
		Limit:      "{effort_off_pct} %; stop beyond {effort_off_stop_pct} %",
		Source:     engineering + "; the correction to equal effort is trusted for small differences only",
		Fix: "the answer corrects for it and says by how much; a block run at another effort " +
			"needs its own target in blocks.csv",
		Hint: "the answer corrects for a small miss; a block run at another effort needs its own target",
	},
	{
		Slug:  EffortUnsteady,
		Title: "effort unsteady", Brief: "the effort went up and down", Severities: []trial.Severity{trial.Warn},
		Measures: "the coefficient of variation, weighted by time, of what was held within its steady window",
		Limit:    "{effort_variation_pct} %",
		Source:   engineering + "; second by second a sensor adds a few percent of its own",
		Fix:      "look at the trace for surges, stops and dropouts; exclude the block only with a reason",
		Hint:     "look at the trace for surges, stops and dropouts",
	},
	{
		Slug:  EffortDrifting,
		Title: "effort drifting", Brief: "the effort rose or fell through the block",
		Severities: []trial.Severity{trial.Warn},
		Measures: "the change of what was held over its steady window along a least-squares line, " +
			"percent of its mean",
		Limit:  "{effort_change_pct} %",
		Source: engineering,
		Fix:    "hold the effort evenly; a longer trim must apply to every block",
		Hint:   "the mean hides it; hold the effort evenly, or trim the part that was not held",
	},
	{
		Slug:  HeartUnsettled,
		Title: "heart rate not settled", Brief: "a heart rate that still changes at the end",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "the slope of heart rate over the last 120 s of its steady window",
		Limit:      "{heart_slope_bpm_min} bpm per minute",
		Source: "180 s into a step of 40 bpm a first-order response of tau 57.6 s rises by 1.8 bpm per minute (Hunt " +
			"2015, doi 10.1186/s12938-015-0112-7). The limit is an engineering choice above it",
		Fix: "run longer blocks after equal rests; above threshold heart rate may never settle, and then only " +
			"balanced orders help",
		Hint: "its mean depends on how the block began; run longer blocks with equal rests",
	},
	{
		Slug:  GroundDistance,
		Title: "sensor distance against the ground", Brief: "the sensor against measured metres or laps",
		Severities: []trial.Severity{trial.Stop, trial.Warn},
		Measures: "the recorded distance of the block divided by distance_m, or by its laps times the lap of " +
			"the venue's lane",
		Limit: "{ground_distance_pct} %; stop beyond {ground_distance_stop_pct} %",
		Source: "running 1 m wide of the line adds 2 pi m a lap, 1.6 % of 400 m (arithmetic). Sensors in the shoe " +
			"were off by 0.032 m/s on average (Zrenner 2018, PMC6308955). The limit is an engineering choice",
		Fix: "check the distance, the lane and the block's times; then calibrate the sensor, or write the measured " +
			"speed into blocks.csv",
		Hint: "check the distance, the lane and the block's start and end; otherwise calibrate the sensor",
	},
}
