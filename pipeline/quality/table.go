package quality

import "soletrial/pipeline/trial"

var (
	stop         = []trial.Severity{trial.Stop}
	warn         = []trial.Severity{trial.Warn}
	note         = []trial.Severity{trial.Note}
	stopWarn     = []trial.Severity{trial.Stop, trial.Warn}
	engineering  = "an engineering choice; no published limit"
	gaitLimits   = "the defaults span published means: cadence Burns 2019 (doi 10.1152/japplphysiol.00374.2018), contact and step length Karamanidis & Arampatzis 2005 (doi 10.1242/jeb.01830); where they end is an engineering choice"
	roundingNote = "rounding step length to 0.01 m and cadence to 1 step/min explains about 0.7 %; the limit is an engineering choice"
)

// table is the rules in their documented order.
var table = []Rule{
	{
		Slug: "time-backwards", Title: "time goes back", Scope: OfRecording, Severities: stop, session: timeBackwards,
		Looks:  "samples whose elapsed_s is smaller than the one before",
		Limit:  "none allowed",
		Source: "a clock that runs back makes every mean of the recording doubtful",
		Fix:    "import the recording again from the original file; if the device's clock was set during the run, cut the file there and import the two parts",
	},
	{
		Slug: "recording-gap", Title: "gap in the recording", Scope: OfRecording, Severities: warn, session: recordingGap,
		Looks:  "the longest time between two samples inside a block",
		Limit:  "limits.gap_s, default 5 s",
		Source: engineering + "; devices that record on change leave up to a few seconds",
		Fix:    "nothing is filled in; look at the trace, and set include to no with a reason if the gap hides something",
	},
	{
		Slug: "channel-missing", Title: "channel missing", Scope: OfRecording, Severities: warn, session: channelMissing,
		Looks:  "whether what was held and what is compared were measured at all",
		Limit:  "both are needed: power and speed at held power, pace and heart rate at held pace, heart rate and speed at held heart rate",
		Source: "without the first there is no equal-effort adjustment, without the second nothing to compare",
		Fix:    "import the recording of the device that has the channel, or write the block means into blocks.csv",
	},
	{
		Slug: "out-of-range", Title: "value out of range", Scope: OfBlock, Severities: stopWarn, session: outOfRange,
		Looks:  "block means, and single samples of the steady window, against what the channel can plausibly read",
		Limit:  "limits.ranges: a mean outside stop is a stop; a mean outside warn, or any sample outside stop, is a warning",
		Source: gaitLimits,
		Fix:    "check the unit at import (steps or strides, mm or cm, km/h or m/s); a sensor that slipped is a reason to set include to no",
	},
	{
		Slug: "step-product", Title: "cadence times step length against speed", Scope: OfBlock, Severities: stopWarn, session: stepProduct,
		Looks:  "cadence/60 x step length divided by speed, from the block means",
		Limit:  "limits.step_product_pct, default 2 %; stop beyond limits.step_product_stop_pct, default 10 %",
		Source: roundingNote,
		Fix:    "one of the three is off, and if it is off by shoe it looks exactly like a shoe effect: compare with the measured laps",
	},
	{
		Slug: "shoe-blank", Title: "shoe not filled in", Scope: OfBlock, Severities: stop, session: shoeBlank,
		Looks:  "blocks without a shoe",
		Limit:  "every included block needs one",
		Source: "import proposes blocks but cannot know the shoes",
		Fix:    "write the shoe's id from shoes.csv into the shoe column, or set include to no with a reason",
	},
	{
		Slug: "block-short", Title: "block too short", Scope: OfBlock, Severities: warn, session: blockShort,
		Looks:  "end_s - start_s",
		Limit:  "limits.block_min_s, default 180 s",
		Source: "heart rate reaches 95 % of a step in about 173 s (first order, tau 57.6 s: Hunt 2015, doi 10.1186/s12938-015-0112-7)",
		Fix:    "run longer blocks; warm-up and rest laps proposed by import can be deleted",
	},
	{
		Slug: "window-short", Title: "steady window too short", Scope: OfBlock, Severities: stop, session: windowShort,
		Looks:  "what the trim leaves of the block",
		Limit:  "limits.window_min_s, default 60 s",
		Source: engineering,
		Fix:    "delete the row if it is no block, or shorten method.trim for every block",
	},
	{
		Slug: "block-outside", Title: "block outside the recording", Scope: OfBlock, Severities: stop, session: blockOutside,
		Looks:  "start_s and end_s against the first and last sample",
		Limit:  "a block may reach past the recording by limits.gap_s",
		Source: "a block nobody recorded has no means",
		Fix:    "check start_s, end_s and the recording's offset_s",
	},
	{
		Slug: "block-overlap", Title: "blocks overlap", Scope: OfBlock, Severities: stop, session: blockOverlap,
		Looks:  "blocks that start before the previous one has ended",
		Limit:  "none allowed",
		Source: "the same seconds cannot count for two shoes",
		Fix:    "correct start_s or end_s",
	},
	{
		Slug: "coverage-low", Title: "coverage low", Scope: OfBlock, Severities: stopWarn, session: coverageLow,
		Looks:  "the share of the steady window with valid samples of what was held and what is compared",
		Limit:  "limits.coverage_pct, default 90 %; stop below limits.coverage_stop_pct, default 50 %",
		Source: engineering,
		Fix:    "look for dropouts of the sensor; with less than half the window the mean stands for something else",
	},
	{
		Slug: "effort-off", Title: "effort off target", Scope: OfBlock, Severities: stopWarn, session: effortOff,
		Looks:  "mean of what was held divided by its target",
		Limit:  "limits.effort_off_pct, default 3 %; stop beyond limits.effort_off_stop_pct, default 15 %",
		Source: engineering + "; the equal-effort adjustment is trusted for small differences only",
		Fix:    "the adjustment takes it into account and says by how much; a block run at another effort needs its own target in blocks.csv",
	},
	{
		Slug: "order-confounded", Title: "order confounded with time", Scope: OfSession, Severities: warn, session: orderConfounded,
		Looks:  "how much of the spread of the blocks' times the shoes explain, as a correlation (0 for A B B A, 0.45 for A B A B, 0.89 for A A B B)",
		Limit:  "limits.order_correlation, default 0.7",
		Source: "arithmetic: the drift and the shoes cannot be told apart when the shoes follow the clock; the limit is an engineering choice",
		Fix:    "no analysis mends it: run another session in the opposite order, or in a balanced one",
	},
	{
		Slug: "one-block-per-shoe", Title: "one block per shoe", Scope: OfSession, Severities: note, session: oneBlockPerShoe,
		Looks:  "sessions of two or more shoes in which no shoe has a second block",
		Limit:  "two blocks of at least one shoe",
		Source: "without a repeat nothing tells a shoe from a block (common practice, no source)",
		Fix:    "such a session gives no interval by itself; it still counts together with others",
	},
	{
		Slug: "mass-missing", Title: "shoe mass missing", Scope: OfDataset, Severities: warn, dataset: massMissing,
		Looks:  "shoes that were run and have no mass_g",
		Limit:  "every shoe that is compared",
		Source: "about 1 % per 100 g per shoe (Frederick 1984; Franz 2012, doi 10.1249/MSS.0b013e3182514a88): without the mass its part cannot be named",
		Fix:    "weigh both shoes of the pair as worn, write the mean into shoes.csv",
	},
}
