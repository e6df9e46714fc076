package trial

// FieldLogForm is the version of the form of fieldlog.yaml that this program
// reads and writes.
const FieldLogForm = 1

// FieldLog is the content of fieldlog.yaml: what happened at the venue, noted while
// it happened. The track page writes it; `log` and `import` read it. What its keys
// mean stands in fieldlog_meaning.go.
//
// Every moment is kept twice. Keys that end in _s are seconds on the stopwatch,
// which reads 0 when the log begins and only ever runs forward. The others are what
// the clock on the wall of the phone showed, in the form of RFC 3339 with its offset
// from UTC: 2026-05-02T09:31:07.4+02:00. The two part where the clock was changed or
// the stopwatch could not run; [ClockChange] says where and by how much.
type FieldLog struct {
	Form       float64       `json:"form"`
	Program    string        `json:"program,omitempty"`
	Session    string        `json:"session"`
	Began      string        `json:"began"`
	Ended      string        `json:"ended,omitempty"`
	EndedS     float64       `json:"ended_s,omitempty" jsonschema:"minimum=0"`
	Plan       LogPlan       `json:"plan"`
	Shoes      []LogShoe     `json:"shoes"`
	Sensor     string        `json:"sensor,omitempty"`
	Conditions Conditions    `json:"conditions,omitempty"`
	WarmUp     LogSpan       `json:"warm_up,omitempty"`
	Blocks     []LogBlock    `json:"blocks,omitempty"`
	Deviations []Deviation   `json:"deviations,omitempty"`
	Clock      []ClockChange `json:"clock,omitempty"`
	Notes      string        `json:"notes,omitempty"`
}

// LogPlan is the plan as the log knew it.
type LogPlan struct {
	Source  string   `json:"source" jsonschema:"enum=dataset,enum=venue"`
	Order   []string `json:"order"`
	Effort  string   `json:"effort" jsonschema:"enum=power,enum=pace,enum=heart_rate"`
	Target  string   `json:"target,omitempty" jsonschema:"oneof_type=string;number"`
	BlockS  float64  `json:"block_s,omitempty" jsonschema:"minimum=1"`
	RestS   float64  `json:"rest_s,omitempty" jsonschema:"minimum=0"`
	WarmUpS float64  `json:"warm_up_s,omitempty" jsonschema:"minimum=0"`
	Draw    PlanDraw `json:"draw,omitempty"`
}

// The values of LogPlan.Source.
const (
	PlanOfDataset = "dataset"
	PlanOfVenue   = "venue"
)

// LogShoe is a pair of shoes at the venue.
type LogShoe struct {
	Shoe   string  `json:"shoe"`
	Label  string  `json:"label,omitempty"`
	LeftG  float64 `json:"left_g,omitempty" jsonschema:"minimum=20,maximum=2000"`
	RightG float64 `json:"right_g,omitempty" jsonschema:"minimum=20,maximum=2000"`
}

// LogSpan is a stretch of time.
type LogSpan struct {
	Start  string  `json:"start,omitempty"`
	StartS float64 `json:"start_s,omitempty" jsonschema:"minimum=0"`
	End    string  `json:"end,omitempty"`
	EndS   float64 `json:"end_s,omitempty" jsonschema:"minimum=0"`
}

// LogBlock is a block that was begun. One without an end was still running when the
// log was written.
type LogBlock struct {
	Block     string    `json:"block"`
	Place     float64   `json:"place,omitempty" jsonschema:"minimum=1"`
	Shoe      string    `json:"shoe"`
	Start     string    `json:"start"`
	StartS    float64   `json:"start_s" jsonschema:"minimum=0"`
	End       string    `json:"end,omitempty"`
	EndS      float64   `json:"end_s,omitempty" jsonschema:"minimum=0"`
	LapS      []float64 `json:"lap_s,omitempty"`
	Laps      float64   `json:"laps,omitempty" jsonschema:"minimum=0,maximum=1000"`
	DistanceM float64   `json:"distance_m,omitempty" jsonschema:"minimum=0,maximum=100000"`
	RPE       float64   `json:"rpe,omitempty" jsonschema:"minimum=0,maximum=10"`
	ComfortMm float64   `json:"comfort_mm,omitempty" jsonschema:"minimum=0,maximum=100"`
	Note      string    `json:"note,omitempty"`
	Excluded  string    `json:"excluded,omitempty"`
}

// Deviation is something that was not as planned.
type Deviation struct {
	Kind    string  `json:"kind" jsonschema:"enum=skipped,enum=repeated,enum=swapped,enum=short,enum=stopped"`
	Block   string  `json:"block,omitempty"`
	Planned string  `json:"planned,omitempty"`
	Worn    string  `json:"worn,omitempty"`
	AtS     float64 `json:"at_s,omitempty" jsonschema:"minimum=0"`
	Reason  string  `json:"reason"`
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
	Kind string  `json:"kind" jsonschema:"enum=set,enum=asleep,enum=restart"`
	At   string  `json:"at"`
	AtS  float64 `json:"at_s" jsonschema:"minimum=0"`
	ByS  float64 `json:"by_s"`
}

// The values of ClockChange.Kind.
const (
	ClockSet     = "set"
	ClockAsleep  = "asleep"
	ClockRestart = "restart"
)

// ClockShifts lists by how many seconds the clock on the wall may have read more than
// Began and the stopwatch give: 0, and after each time it was set the sum so far.
func (l *FieldLog) ClockShifts() []float64 {
	shifts := []float64{0}
	for _, change := range l.Clock {
		if change.Kind == ClockSet {
			shifts = append(shifts, shifts[len(shifts)-1]+change.ByS)
		}
	}
	return shifts
}
