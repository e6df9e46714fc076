package session

import (
	"strconv"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Step is what there is to do now; the screen shows one step.
type Step int

// The steps of a session, in the order of the day.
const (
	StepPlan     Step = iota // nothing is planned yet
	StepWeigh                // weigh the pair State.Weighing
	StepDay                  // note the conditions
	StepSensor               // note where the foot sensor sits
	StepWarmUp               // start the warm-up
	StepWarming              // the warm-up runs
	StepChange               // put on the next shoe, rest, start the block
	StepRunning              // the block runs
	StepLate                 // End was tapped after the signal: which counts?
	StepEarly                // the block ended early: why?
	StepExertion             // how hard was it?
	StepComfort              // how comfortable was the shoe?
	StepNote                 // laps, metres, anything else
	StepClosing              // all blocks are run
	StepWhy                  // the session was stopped: why?
	StepDone                 // the log is closed
)

// Grace is by how many seconds a block may be shorter or longer than planned
// without a question: the time that a thumb needs.
const Grace = 5

// Moment is a point in time by both clocks.
type Moment struct {
	S       float64 // stopwatch, seconds since the log began
	WallMs  int64
	ZoneMin int
}

// Block is a block that was begun.
type Block struct {
	Name           string
	Place          int // in the planned order, from 0
	Shoe           string
	Start, End     Moment
	Ended          bool
	Laps           []Moment // the laps that were tapped
	LapsNoted      float64  // typed in afterwards; missing
	Metres         float64
	RPE, ComfortMm float64
	Note, Excluded string
}

// Weights are the masses of a pair in grams; missing where not weighed.
type Weights struct{ Left, Right float64 }

// State is a session at one moment. It follows from the events alone.
type State struct {
	Plan        Plan
	Step        Step
	Weighing    int // which of the plan's shoes is to be weighed
	Weights     map[string]Weights
	Conditions  trial.Conditions
	SensorPlace string // where the foot sensor sits
	WarmStart   *Moment
	WarmEnd     *Moment
	Blocks      []Block
	Queue       []int  // places of the planned order that are still to be run
	Worn        string // the shoe of the next block where it is not the planned one
	Deviations  []trial.Deviation
	Remark      string
	Began       Moment
	Ended       *Moment
	Changes     []trial.ClockChange
	Program     string
	Undoable    Kind // what undo would take back, "" for nothing
	Redoable    Kind // what redo would put back, "" for nothing

	watch   watch
	wornWhy string // why Worn is worn
}

// Next returns the place in the planned order of the next block, and its shoe.
func (s *State) Next() (place int, shoe string) {
	if len(s.Queue) == 0 {
		return -1, ""
	}
	if s.Worn != "" {
		return s.Queue[0], s.Worn
	}
	return s.Queue[0], s.Plan.Order[s.Queue[0]]
}

// NextName returns the name that the next block will have.
func (s *State) NextName() string {
	place, _ := s.Next()
	return s.name(place)
}

// Last returns the block that was begun last, nil before the first.
func (s *State) Last() *Block {
	if len(s.Blocks) == 0 {
		return nil
	}
	return &s.Blocks[len(s.Blocks)-1]
}

// At returns what the stopwatch reads at a time of the page's own clock in the
// opening of the last event.
func (s *State) At(monoMs int64) float64 { return s.watch.at(monoMs) }

// LastEventS returns what the stopwatch read at the last event.
func (s *State) LastEventS() float64 { return s.watch.s }

// Parted returns by how many seconds the two clocks have parted since the last event.
func (s *State) Parted(monoMs, wallMs int64) float64 { return seconds(wallMs - monoMs - s.watch.ahead) }

// Mark is a moment at which the person is to be told something without looking.
type Mark int

// The marks.
const (
	BlockOver  Mark = iota // the planned length of the block is run
	RestOver               // the planned rest is over
	WarmUpOver             // the planned warm-up is over
)

// Marks lists the marks that the stopwatch passes after from, up to to.
func (s *State) Marks(from, to float64) (list []Mark) {
	passes := func(at float64) bool { return from < at && at <= to }
	last := s.Last()
	switch {
	case s.Step == StepRunning && planned(s.Plan.BlockS) && passes(last.Start.S+s.Plan.BlockS):
		list = append(list, BlockOver)
	case s.Step == StepWarming && planned(s.Plan.WarmUpS) && passes(s.WarmStart.S+s.Plan.WarmUpS):
		list = append(list, WarmUpOver)
	case last != nil && last.Ended && len(s.Queue) > 0 && s.Step < StepClosing && planned(s.Plan.RestS) &&
		passes(last.End.S+s.Plan.RestS):
		list = append(list, RestOver)
	}
	return list
}

// name is the place from 1, and a letter where the place was run before.
func (s *State) name(place int) string {
	before := 0
	for _, b := range s.Blocks {
		if b.Place == place {
			before++
		}
	}
	name := strconv.Itoa(place + 1)
	if before > 0 {
		name += string(rune('a' + before%26))
	}
	return name
}

// planned reports whether a length is planned.
func planned(x float64) bool { return units.Known(x) && x > 0 }
