package quality

import "soletrial/pipeline/trial"

// Where limits come from. They are constants, so that nothing has to be put
// together at start and a program that explains no rule carries none of the words.
const (
	engineering  = "an engineering choice; no published limit"
	gaitLimits   = "the defaults span published means: cadence Burns 2019 (doi 10.1152/japplphysiol.00374.2018), contact and step length Karamanidis & Arampatzis 2005 (doi 10.1242/jeb.01830); where they end is an engineering choice"
	roundingNote = "rounding step length to 0.01 m and cadence to 1 step/min explains about 0.7 %; the limit is an engineering choice"
)

// narrow is the rules about recordings and blocks, in their documented order.
var narrow = []Rule{
	{
		Slug: "time-backwards", Title: "time goes back", Scope: OfRecording, Severities: []trial.Severity{trial.Stop},
		Looks:  "samples whose elapsed_s is smaller than the one before",
		Limit:  "none allowed",
		Source: "a clock that runs back makes every mean of the recording doubtful",
		Fix:    "import the recording again from the original file; if the device's clock was set during the run, cut the file there and import the two parts",
	},
	{
		Slug: "time-repeated", Title: "second repeated", Scope: OfRecording, Severities: []trial.Severity{trial.Warn},
		Looks:  "samples whose elapsed_s is that of the one before",
		Limit:  "none allowed",
		Source: "a sample stands for the time until the next, so the first of two at one time stands for none",
		Fix:    "import the recording again from the original file; two values for one second cannot both be right",
	},
	{
		Slug: "recording-gap", Title: "gap in the recording", Scope: OfRecording, Severities: []trial.Severity{trial.Warn},
		Looks:  "the longest time between two samples inside a block",
		Limit:  "limits.gap_s, default 5 s",
		Source: engineering + "; devices that record on change leave up to a few seconds",
		Fix:    "nothing is filled in; look at the trace, and set include to no with a reason if the gap hides something",
	},
	{
		Slug: "channel-missing", Title: "channel missing", Scope: OfRecording, Severities: []trial.Severity{trial.Warn},
		Looks:  "whether what was held and what is compared were measured at all",
		Limit:  "both are needed: power and speed at held power, pace and heart rate at held pace, heart rate and speed at held heart rate",
		Source: "without the first there is no equal-effort adjustment, without the second nothing to compare",
		Fix:    "import the recording of the device that has the channel, or write the block means into blocks.csv",
	},
	{
		Slug: "unit-wrong", Title: "unit looks wrong", Scope: OfRecording, Severities: []trial.Severity{trial.Stop},
		Looks:  "block means outside the usual range that fall within it once read as strides or steps of one leg, centimetres, km/h, seconds, millimetres, metres or beats per second; samples 1/60 apart, as if in minutes",
		Limit:  "limits.ranges, warn",
		Source: "arithmetic over the ranges; a number in another unit stands for something else",
		Fix:    "import it again with the right unit or a column map; if it is right as it stands, override it with the reason",
	},
	{
		Slug: "value-frozen", Title: "value frozen", Scope: OfRecording, Severities: []trial.Severity{trial.Warn},
		Looks:  "the longest time within the steady window over which a channel reads the same number",
		Limit:  "limits.frozen_s, default 30 s; cadence, step length and heart rate limits.frozen_coarse_s, default 90 s",
		Source: engineering + "; whole beats, strides and centimetres may stand still for a while",
		Fix:    "look at the trace: a sensor that lost contact may repeat its last value; set include to no with a reason if it did",
	},
	{
		Slug: "value-spike", Title: "spike", Scope: OfRecording, Severities: []trial.Severity{trial.Warn},
		Looks:  "single samples of the steady window that stand out from both neighbours, which agree with each other and read something possible",
		Limit:  "limits.spike_pct, default 30 % of the neighbours' mean",
		Source: engineering + "; no runner changes that much and back within two samples",
		Fix:    "nothing is smoothed away; look at the trace, and set include to no with a reason if the mean suffers",
	},
	{
		Slug: "distance-falling", Title: "distance falling", Scope: OfRecording, Severities: []trial.Severity{trial.Warn},
		Looks:  "how much the recorded distance falls within a block",
		Limit:  "none allowed",
		Source: "distance covered only grows (arithmetic)",
		Fix:    "import the recording again; a device that starts at 0 in each lap needs its laps put end to end",
	},
	{
		Slug: "speed-distance", Title: "speed against distance", Scope: OfRecording, Severities: []trial.Severity{trial.Warn},
		Looks:  "recorded distance per second over the steady window divided by mean recorded speed",
		Limit:  "limits.speed_distance_pct, default 3 %",
		Source: engineering + "; one device may smooth the two differently",
		Fix:    "compare with the measured laps to see which is off, and take the channel from the other device in method.channels",
	},
	{
		Slug: "out-of-range", Title: "value out of range", Scope: OfBlock, Severities: []trial.Severity{trial.Stop, trial.Warn},
		Looks:  "block means, and single samples of the steady window, against what the channel can plausibly read",
		Limit:  "limits.ranges: a mean outside stop is a stop; a mean outside warn, or any sample outside stop, is a warning",
		Source: gaitLimits,
		Fix:    "check the unit at import (steps or strides, mm or cm, km/h or m/s); a sensor that slipped is a reason to set include to no",
	},
	{
		Slug: "step-product", Title: "cadence times step length against speed", Scope: OfBlock, Severities: []trial.Severity{trial.Stop, trial.Warn},
		Looks:  "cadence/60 x step length divided by speed, from the block means",
		Limit:  "limits.step_product_pct, default 2 %; stop beyond limits.step_product_stop_pct, default 10 %",
		Source: roundingNote,
		Fix:    "one of the three is off, and if it is off by shoe it looks exactly like a shoe effect: compare with the measured laps",
	},
	{
		Slug: "shoe-blank", Title: "shoe not filled in", Scope: OfBlock, Severities: []trial.Severity{trial.Stop},
		Looks:  "blocks without a shoe",
		Limit:  "every included block needs one",
		Source: "import proposes blocks but cannot know the shoes",
		Fix:    "write the shoe's id from shoes.csv into the shoe column, or set include to no with a reason",
	},
	{
		Slug: "block-short", Title: "block too short", Scope: OfBlock, Severities: []trial.Severity{trial.Warn},
		Looks:  "end_s - start_s",
		Limit:  "limits.block_min_s, default 180 s",
		Source: "heart rate reaches 95 % of a step in about 173 s (first order, tau 57.6 s: Hunt 2015, doi 10.1186/s12938-015-0112-7)",
		Fix:    "run longer blocks; warm-up and rest laps proposed by import can be deleted",
	},
	{
		Slug: "window-short", Title: "steady window too short", Scope: OfBlock, Severities: []trial.Severity{trial.Stop},
		Looks:  "what the trim leaves of the block",
		Limit:  "limits.window_min_s, default 60 s",
		Source: engineering,
		Fix:    "delete the row if it is no block, or shorten method.trim for every block",
	},
	{
		Slug: "block-outside", Title: "block outside the recording", Scope: OfBlock, Severities: []trial.Severity{trial.Stop},
		Looks:  "start_s and end_s against the first and last sample",
		Limit:  "a block may reach past the recording by limits.gap_s",
		Source: "a block nobody recorded has no means",
		Fix:    "check start_s, end_s and the recording's offset_s",
	},
	{
		Slug: "block-overlap", Title: "blocks overlap", Scope: OfBlock, Severities: []trial.Severity{trial.Stop},
		Looks:  "blocks that start before the previous one has ended",
		Limit:  "none allowed",
		Source: "the same seconds cannot count for two shoes",
		Fix:    "correct start_s or end_s",
	},
	{
		Slug: "coverage-low", Title: "coverage low", Scope: OfBlock, Severities: []trial.Severity{trial.Stop, trial.Warn},
		Looks:  "the share of the steady window with valid samples of what was held and what is compared",
		Limit:  "limits.coverage_pct, default 90 %; stop below limits.coverage_stop_pct, default 50 %",
		Source: engineering,
		Fix:    "look for dropouts of the sensor; with less than half the window the mean stands for something else",
	},
	{
		Slug: "effort-off", Title: "effort off target", Scope: OfBlock, Severities: []trial.Severity{trial.Stop, trial.Warn},
		Looks:  "mean of what was held divided by its target",
		Limit:  "limits.effort_off_pct, default 3 %; stop beyond limits.effort_off_stop_pct, default 15 %",
		Source: engineering + "; the equal-effort adjustment is trusted for small differences only",
		Fix:    "the adjustment takes it into account and says by how much; a block run at another effort needs its own target in blocks.csv",
	},
	{
		Slug: "effort-unsteady", Title: "effort unsteady", Scope: OfBlock, Severities: []trial.Severity{trial.Warn},
		Looks:  "the coefficient of variation, weighted by time, of what was held within its steady window",
		Limit:  "limits.effort_variation_pct, default 8 %",
		Source: engineering + "; second by second a sensor adds a few percent of its own",
		Fix:    "look at the trace for surges, stops and dropouts; leave the block out only with a reason",
	},
	{
		Slug: "effort-drifting", Title: "effort drifting", Scope: OfBlock, Severities: []trial.Severity{trial.Warn},
		Looks:  "the change of what was held over its steady window along a least-squares line, percent of its mean",
		Limit:  "limits.effort_change_pct, default 5 %",
		Source: engineering,
		Fix:    "hold the effort evenly; a trim that leaves the uneven part out must hold for every block",
	},
	{
		Slug: "heart-unsettled", Title: "heart rate not settled", Scope: OfBlock, Severities: []trial.Severity{trial.Warn},
		Looks:  "the slope of heart rate over the last 120 s of its steady window",
		Limit:  "limits.heart_slope_bpm_min, default 3 bpm per minute",
		Source: "180 s into a step of 40 bpm a first-order response of tau 57.6 s rises by 1.8 bpm per minute (Hunt 2015, doi 10.1186/s12938-015-0112-7); the limit is an engineering choice above it",
		Fix:    "run longer blocks from equal rests; above threshold heart rate may never settle, and then only balanced orders help",
	},
	{
		Slug: "ground-distance", Title: "sensor distance against the ground", Scope: OfBlock, Severities: []trial.Severity{trial.Stop, trial.Warn},
		Looks:  "the recorded distance of the block divided by distance_m, or by its laps times the lap of the venue's lane",
		Limit:  "limits.ground_distance_pct, default 3 %; stop beyond limits.ground_distance_stop_pct, default 10 %",
		Source: "running 1 m wide of the line adds 2 pi m a lap, 1.6 % of 400 m (arithmetic); sensors in the shoe were off by 0.032 m/s on average (Zrenner 2018, PMC6308955); the limit is an engineering choice",
		Fix:    "check the distance, the lane and the block's times; then calibrate the sensor, or write the measured speed down",
	},
}
