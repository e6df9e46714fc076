package quality

import "soletrial/pipeline/trial"

// The slugs of the rules about recordings, in their documented order.
const (
	TimeBackwards   trial.RuleSlug = "time-backwards"
	TimeRepeated    trial.RuleSlug = "time-repeated"
	RecordingGap    trial.RuleSlug = "recording-gap"
	ChannelMissing  trial.RuleSlug = "channel-missing"
	UnitWrong       trial.RuleSlug = "unit-wrong"
	ValueFrozen     trial.RuleSlug = "value-frozen"
	ValueSpike      trial.RuleSlug = "value-spike"
	DistanceFalling trial.RuleSlug = "distance-falling"
	SpeedDistance   trial.RuleSlug = "speed-distance"
)

// recordingRules is the rules about recordings, in the order in which they run.
var recordingRules = []rule[sessionCheck]{
	{TimeBackwards, timeBackwards},
	{TimeRepeated, timeRepeated},
	{RecordingGap, recordingGap},
	{ChannelMissing, channelMissing},
	{UnitWrong, unitWrong},
	{ValueFrozen, valueFrozen},
	{ValueSpike, valueSpike},
	{DistanceFalling, distanceFalling},
	{SpeedDistance, speedDistance},
}

// recordingWords says the same rules in words, in the same order.
var recordingWords = []Rule{
	{
		Slug:  TimeBackwards,
		Title: "time goes back", Brief: "a clock that runs back", Severities: []trial.Severity{trial.Stop},
		Measures: "samples whose elapsed_s is smaller than the one before",
		Limit:    "none allowed",
		Source:   "a clock that runs back makes every mean of the recording doubtful",
		Fix: "import the recording again from the original file. If the device's clock jumped during " +
			"the run, cut the file there and import the two parts",
		Hint: "import it again from the original file",
	},
	{
		Slug:  TimeRepeated,
		Title: "second repeated", Brief: "two samples at one time", Severities: []trial.Severity{trial.Warn},
		Measures: "samples whose elapsed_s is that of the one before",
		Limit:    "none allowed",
		Source:   "a sample covers the time until the next, so the first of two at one time covers none",
		Fix:      "import the recording again from the original file; two values for one second cannot both be right",
		Hint:     "of two at one time only the later counts; import it again from the original file",
	},
	{
		Slug:  RecordingGap,
		Title: "gap in the recording", Brief: "seconds without a sample inside a block",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "the longest time between two samples inside a block",
		Limit:      "{gap_s} s",
		Source:     engineering + "; devices that record on change leave up to a few seconds",
		Fix: "nothing is filled in; look at the trace, " +
			"and set include to no with a reason if the gap hides something",
		Hint: "gaps are not filled in; look at the trace",
	},
	{
		Slug:  ChannelMissing,
		Title: "channel missing", Brief: "the effort, or what is compared, was not measured",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "whether the effort and what is compared were measured",
		Limit: "both are needed: power and speed at the same power, pace and heart rate at the same pace, heart " +
			"rate and speed at the same heart rate",
		Source: "without the first there is no correction to equal effort, without the second nothing to compare",
		Fix:    "import the recording of the device that has the channel, or write the block means into blocks.csv",
		Hint:   "import a recording with it, or write it into blocks.csv",
	},
	{
		Slug:  UnitWrong,
		Title: "unit looks wrong", Brief: "strides for steps, km/h, minutes and other units that look wrong",
		Severities: []trial.Severity{trial.Stop},
		Measures: "block means outside the usual range that would be within it in another unit. Such units are " +
			"strides or steps of one leg, centimetres, km/h, seconds, millimetres, metres or beats per second. Also " +
			"samples 1/60 apart, as if in minutes",
		Limit:  "limits.ranges, warn",
		Source: "arithmetic over the ranges; a number in another unit means something else",
		Fix:    "import it again with the right unit or a column map; if it is right, override it with the reason",
		Hint:   "import it again with the right unit; if it is right, override it",
	},
	{
		Slug:  ValueFrozen,
		Title: "value frozen", Brief: "a channel that repeats one number", Severities: []trial.Severity{trial.Warn},
		Measures: "the longest time within the steady window over which a channel reads the same number",
		Limit:    "{frozen_s} s; cadence, step length and heart rate {frozen_coarse_s} s",
		Source:   engineering + "; whole beats, strides and centimetres may stay the same for a while",
		Fix: "look at the trace: a sensor that lost contact may repeat its last value; set include to no " +
			"with a reason if it did",
		Hint: "a sensor that lost contact may repeat its last value; look at the trace",
	},
	{
		Slug:  ValueSpike,
		Title: "spike", Brief: "a single sample that jumps", Severities: []trial.Severity{trial.Warn},
		Measures: "single samples of the steady window that differ from both neighbours, which agree with each " +
			"other and are possible",
		Limit:  "{spike_pct} % of the neighbours' mean",
		Source: engineering + "; no runner changes that much and back within two samples",
		Fix:    "nothing is smoothed away; look at the trace, and set include to no with a reason if the mean suffers",
		Hint:   "they are part of the mean; look at the trace",
	},
	{
		Slug:  DistanceFalling,
		Title: "distance falling", Brief: "a recorded distance that falls", Severities: []trial.Severity{trial.Warn},
		Measures: "how much the recorded distance falls within a block",
		Limit:    "none allowed",
		Source:   "distance covered only grows (arithmetic)",
		Fix: "import the recording again; the distances of a device that starts at 0 in each lap must be " +
			"added up",
		Hint: "a distance never falls; if the device starts at 0 in each lap, add the laps up",
	},
	{
		Slug:  SpeedDistance,
		Title: "speed against distance", Brief: "recorded distance against recorded speed",
		Severities: []trial.Severity{trial.Warn},
		Measures:   "recorded distance per second over the steady window divided by mean recorded speed",
		Limit:      "{speed_distance_pct} %",
		Source:     engineering + "; one device may smooth the two differently",
		Fix: "compare with the measured laps to see which is off, and take the channel from the other " +
			"device in method.channels",
		Hint: "compare with the measured laps to see which one is off",
	},
}
