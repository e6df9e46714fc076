package trial

// FieldLogForm is the version of the form of fieldlog.yaml that this program
// reads and writes.
const FieldLogForm = 1

// FieldLog is the content of fieldlog.yaml: what happened at the venue, noted
// while it happened. The track page writes it; `log` and `import` read it.
//
// Every moment is kept twice. Keys that end in _s are seconds on the stopwatch,
// which reads 0 when the log begins and only ever runs forward. The others are what
// the clock on the wall of the phone showed, in the form of RFC 3339 with its offset
// from UTC: 2026-05-02T09:31:07.4+02:00. The two part where the clock was changed or
// the stopwatch could not run; [ClockChange] says where and by how much.
type FieldLog struct {
	Form       float64       `json:"form" jsonschema_description:"Version of this form: 1."`
	Program    string        `json:"program,omitempty" jsonschema_description:"What wrote the log, with its version."`
	Session    string        `json:"session" jsonschema_description:"Id of the session."`
	Began      string        `json:"began" jsonschema_description:"Clock time at which the stopwatch read 0."`
	Ended      string        `json:"ended,omitempty" jsonschema_description:"Clock time at which the log was closed; left out when it was not."`
	EndedS     float64       `json:"ended_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Stopwatch at that time, seconds."`
	Plan       LogPlan       `json:"plan" jsonschema_description:"What was to be run."`
	Shoes      []LogShoe     `json:"shoes" jsonschema_description:"The shoes at the venue, with what they weighed."`
	Sensor     string        `json:"sensor,omitempty" jsonschema_description:"Where the foot sensor sat, and whether it moved between shoes."`
	Conditions Conditions    `json:"conditions,omitempty" jsonschema_description:"Weather and ground."`
	WarmUp     LogSpan       `json:"warm_up,omitempty" jsonschema_description:"The warm-up."`
	Blocks     []LogBlock    `json:"blocks,omitempty" jsonschema_description:"Every block that was begun, in the order of the run."`
	Deviations []Deviation   `json:"deviations,omitempty" jsonschema_description:"What was not as planned, in the order it happened."`
	Clock      []ClockChange `json:"clock,omitempty" jsonschema_description:"Where clock and stopwatch part."`
	Notes      string        `json:"notes,omitempty" jsonschema_description:"Anything else a reader should know."`
}

// LogPlan is the plan as the log knew it.
type LogPlan struct {
	Source  string   `json:"source" jsonschema:"enum=dataset,enum=venue" jsonschema_description:"Where the order is from: plan.yaml of the dataset, or drawn at the venue."`
	Order   []string `json:"order" jsonschema_description:"The shoe of every block, in the order that was planned."`
	Effort  string   `json:"effort" jsonschema:"enum=power,enum=pace,enum=heart_rate" jsonschema_description:"What was to be held."`
	Target  string   `json:"target,omitempty" jsonschema:"oneof_type=string;number" jsonschema_description:"Watts, beats per minute, or a pace such as 4:30."`
	BlockS  float64  `json:"block_s,omitempty" jsonschema:"minimum=1" jsonschema_description:"Length of every block, seconds."`
	RestS   float64  `json:"rest_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Rest between blocks, seconds."`
	WarmUpS float64  `json:"warm_up_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Warm-up before the first block, seconds."`
	Draw    PlanDraw `json:"draw,omitempty" jsonschema_description:"How an order drawn at the venue was drawn."`
}

// The values of LogPlan.Source.
const (
	PlanOfDataset = "dataset"
	PlanOfVenue   = "venue"
)

// LogShoe is a pair of shoes at the venue.
type LogShoe struct {
	Shoe   string  `json:"shoe" jsonschema_description:"Id of the shoe."`
	Label  string  `json:"label,omitempty" jsonschema_description:"Name for people, where the log knows one."`
	LeftG  float64 `json:"left_g,omitempty" jsonschema:"minimum=20,maximum=2000" jsonschema_description:"Mass of the left shoe as worn, grams."`
	RightG float64 `json:"right_g,omitempty" jsonschema:"minimum=20,maximum=2000" jsonschema_description:"Mass of the right shoe as worn, grams."`
}

// LogSpan is a stretch of time.
type LogSpan struct {
	Start  string  `json:"start,omitempty" jsonschema_description:"Clock time of the start."`
	StartS float64 `json:"start_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Stopwatch at the start, seconds."`
	End    string  `json:"end,omitempty" jsonschema_description:"Clock time of the end."`
	EndS   float64 `json:"end_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Stopwatch at the end, seconds."`
}

// LogBlock is a block that was begun. One without an end was still running when the
// log was written.
type LogBlock struct {
	Block     string    `json:"block" jsonschema_description:"Name of the block: its place in the plan, and a letter when it was run again, such as 3b."`
	Place     float64   `json:"place,omitempty" jsonschema:"minimum=1" jsonschema_description:"Place in the planned order, from 1; left out for a block that was not planned."`
	Shoe      string    `json:"shoe" jsonschema_description:"Id of the shoe that was run in."`
	Start     string    `json:"start" jsonschema_description:"Clock time of the start."`
	StartS    float64   `json:"start_s" jsonschema:"minimum=0" jsonschema_description:"Stopwatch at the start, seconds."`
	End       string    `json:"end,omitempty" jsonschema_description:"Clock time of the end."`
	EndS      float64   `json:"end_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Stopwatch at the end, seconds."`
	LapS      []float64 `json:"lap_s,omitempty" jsonschema_description:"Stopwatch at the end of every lap that was counted, seconds."`
	Laps      float64   `json:"laps,omitempty" jsonschema:"minimum=0,maximum=1000" jsonschema_description:"Laps of the venue run in the block; may have a fraction."`
	DistanceM float64   `json:"distance_m,omitempty" jsonschema:"minimum=0,maximum=100000" jsonschema_description:"Metres run in the block, measured on the ground."`
	RPE       float64   `json:"rpe,omitempty" jsonschema:"minimum=0,maximum=10" jsonschema_description:"Exertion: 0 none, 10 all-out."`
	ComfortMm float64   `json:"comfort_mm,omitempty" jsonschema:"minimum=0,maximum=100" jsonschema_description:"Comfort on a line of 100 mm: 0 worst, 100 best."`
	Note      string    `json:"note,omitempty" jsonschema_description:"Anything else about the block."`
	Excluded  string    `json:"excluded,omitempty" jsonschema_description:"Why the block is not to be compared; left out for a block that is."`
}

// Deviation is something that was not as planned.
type Deviation struct {
	Kind    string  `json:"kind" jsonschema:"enum=skipped,enum=repeated,enum=swapped,enum=short,enum=stopped" jsonschema_description:"skipped: the block was not run. repeated: it was run again. swapped: another shoe was worn. short: it ended early. stopped: the session ended early."`
	Block   string  `json:"block,omitempty" jsonschema_description:"The block it is about; left out for the whole session."`
	Planned string  `json:"planned,omitempty" jsonschema_description:"Id of the shoe that was planned."`
	Worn    string  `json:"worn,omitempty" jsonschema_description:"Id of the shoe that was worn instead."`
	AtS     float64 `json:"at_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Stopwatch when it was noted, seconds."`
	Reason  string  `json:"reason" jsonschema_description:"Why."`
}

// The values of Deviation.Kind.
const (
	Skipped  = "skipped"
	Repeated = "repeated"
	Swapped  = "swapped"
	Short    = "short"
	Stopped  = "stopped"
)

// ClockChange is a moment at which the clock on the wall and the stopwatch part.
type ClockChange struct {
	Kind string  `json:"kind" jsonschema:"enum=set,enum=asleep,enum=restart" jsonschema_description:"set: the clock of the phone was changed, and the stopwatch ran on. asleep: the stopwatch stood still while the phone slept, and was set forward by the clock. restart: the page was opened again, and the stopwatch goes on by the clock."`
	At   string  `json:"at" jsonschema_description:"Clock time after the change."`
	AtS  float64 `json:"at_s" jsonschema:"minimum=0" jsonschema_description:"Stopwatch at the change, seconds."`
	ByS  float64 `json:"by_s" jsonschema_description:"set: seconds the clock was put forward, negative for back. asleep and restart: seconds that the stopwatch takes from the clock."`
}

// The values of ClockChange.Kind.
const (
	ClockSet     = "set"
	ClockAsleep  = "asleep"
	ClockRestart = "restart"
)
