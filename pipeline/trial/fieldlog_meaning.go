package trial

// fieldLogMeanings is what the keys of fieldlog.yaml mean, as [meanings] is for the
// other files.
var fieldLogMeanings = map[string]string{
	"FieldLog.form":       "Version of this form: 1.",
	"FieldLog.program":    "What wrote the log, with its version.",
	"FieldLog.session":    "Id of the session.",
	"FieldLog.began":      "Clock time at which the stopwatch read 0.",
	"FieldLog.ended":      "Clock time at which the log was closed; blank when it was not.",
	"FieldLog.ended_s":    "Stopwatch at that time, seconds.",
	"FieldLog.plan":       "What was to be run.",
	"FieldLog.shoes":      "The shoes at the venue, with what they weighed.",
	"FieldLog.sensor":     "Where the foot sensor was worn, and whether it moved between shoes.",
	"FieldLog.conditions": "Weather and ground.",
	"FieldLog.warm_up":    "The warm-up.",
	"FieldLog.blocks":     "Every block that was begun, in the order of the run.",
	"FieldLog.deviations": "What was not as planned, in the order it happened.",
	"FieldLog.clock":      "Where clock and stopwatch differ.",
	"FieldLog.notes":      "Anything else a reader should know.",

	"LogPlan.source":    "Where the order is from: plan.yaml of the dataset, or drawn at the venue.",
	"LogPlan.order":     "The shoe of every block, in the order that was planned.",
	"LogPlan.effort":    "What was to be held.",
	"LogPlan.target":    "Watts, beats per minute, or a pace such as 4:30.",
	"LogPlan.block_s":   "Length of every block, seconds.",
	"LogPlan.rest_s":    "Rest between blocks, seconds.",
	"LogPlan.warm_up_s": "Warm-up before the first block, seconds.",
	"LogPlan.draw":      "How an order drawn at the venue was drawn.",

	"LogShoe.shoe":    "Id of the shoe.",
	"LogShoe.label":   "Name for people, where the log knows one.",
	"LogShoe.left_g":  "Mass of the left shoe as worn, grams.",
	"LogShoe.right_g": "Mass of the right shoe as worn, grams.",

	"LogSpan.start":   "Clock time of the start.",
	"LogSpan.start_s": "Stopwatch at the start, seconds.",
	"LogSpan.end":     "Clock time of the end.",
	"LogSpan.end_s":   "Stopwatch at the end, seconds.",

	"LogBlock.block":      "Name of the block: its place in the plan, and a letter when it was run again, such as 3b.",
	"LogBlock.place":      "Place in the planned order, from 1; blank for a block that was not planned.",
	"LogBlock.shoe":       "Id of the shoe that was run in.",
	"LogBlock.start":      "Clock time of the start.",
	"LogBlock.start_s":    "Stopwatch at the start, seconds.",
	"LogBlock.end":        "Clock time of the end.",
	"LogBlock.end_s":      "Stopwatch at the end, seconds.",
	"LogBlock.lap_s":      "Stopwatch at the end of every lap that was counted, seconds.",
	"LogBlock.laps":       "Laps of the venue run in the block; may have a fraction.",
	"LogBlock.distance_m": "Metres run in the block, measured on the ground.",
	"LogBlock.rpe":        "Exertion: 0 none, 10 all-out.",
	"LogBlock.comfort_mm": "Comfort on a line of 100 mm: 0 worst, 100 best.",
	"LogBlock.note":       "Anything else about the block.",
	"LogBlock.excluded":   "Why the block is excluded; blank for an included one.",

	"Deviation.kind": "skipped: the block was not run. repeated: it was run again. swapped: another shoe was " +
		"worn. short: it ended early. stopped: the session ended early.",
	"Deviation.block":   "The block it is about; blank for the whole session.",
	"Deviation.planned": "Id of the shoe that was planned.",
	"Deviation.worn":    "Id of the shoe that was worn instead.",
	"Deviation.at_s":    "Stopwatch when it was noted, seconds.",
	"Deviation.reason":  "Why.",

	"ClockChange.kind": "set: the clock of the phone was changed, and the stopwatch ran on. asleep: the stopwatch " +
		"stopped while the phone slept, and was set forward by the clock. restart: the page was opened again, and " +
		"the stopwatch goes on by the clock.",
	"ClockChange.at":   "Clock time after the change.",
	"ClockChange.at_s": "Stopwatch at the change, seconds.",
	"ClockChange.by_s": "set: seconds the clock was put forward, negative for back. asleep and restart: seconds " +
		"that the stopwatch takes from the clock.",
}
