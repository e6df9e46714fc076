package session

import (
	"slices"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// timed is an event with its moment.
type timed struct {
	Event
	at Moment
}

// Fold returns the state that follows from the events of one session.
func Fold(events []Event) *State {
	s := &State{Weights: map[string]Weights{}, Conditions: noConditions()}
	var acts, undone []timed
	for i, e := range events {
		now, change := s.watch.follow(e)
		if i == 0 {
			s.Began = now
		}
		if change != nil {
			s.Changes = append(s.Changes, *change)
		}
		switch e.Kind {
		case Open:
			s.Program = e.arg(0)
		case Clock:
		case Undo:
			if n := len(acts); n > 1 { // the plan stays
				acts, undone = acts[:n-1], append(undone, acts[n-1])
			}
		case Redo:
			if n := len(undone); n > 0 {
				acts, undone = append(acts, undone[n-1]), undone[:n-1]
			}
		default:
			acts, undone = append(slices.Clip(acts), timed{e, now}), nil
		}
	}
	for _, act := range acts {
		s.apply(act)
	}
	if n := len(acts); n > 1 {
		s.Undoable = acts[n-1].Kind
	}
	if n := len(undone); n > 0 {
		s.Redoable = undone[n-1].Kind
	}
	return s
}

func noConditions() trial.Conditions {
	no := units.Missing
	return trial.Conditions{AirC: no, HumidityPct: no, PressureHpa: no, WindMps: no, WbgtC: no}
}

// apply takes one event. An event that does not belong to the step, such as the
// second of two taps, changes nothing.
func (s *State) apply(e timed) {
	if then, fits := rules[e.Kind]; fits && slices.Contains(then.steps, s.Step) {
		then.do(s, e)
	}
}

// rule says in which steps an event may come, and what it does.
type rule struct {
	steps []Step
	do    func(*State, timed)
}

var (
	afterBlock = []Step{StepLate, StepEarly, StepExertion, StepComfort, StepNote, StepChange, StepClosing}
	anyTime    = append([]Step{StepWeigh, StepDay, StepSensor, StepWarmUp, StepWarming, StepRunning}, afterBlock...)
)

var rules = map[Kind]rule{
	Planned:    {[]Step{StepPlan}, (*State).plan},
	Weighed:    {[]Step{StepWeigh}, (*State).weighed},
	Conditions: {[]Step{StepDay}, (*State).day},
	Sensor:     {[]Step{StepSensor}, (*State).sensor},
	Pass: {[]Step{StepWeigh, StepDay, StepSensor, StepWarmUp, StepEarly, StepExertion, StepComfort, StepNote},
		(*State).pass},
	WarmStart: {[]Step{StepWarmUp}, (*State).warmStart},
	WarmEnd:   {[]Step{StepWarming}, (*State).warmEnd},
	Start:     {[]Step{StepChange}, (*State).start},
	Lap:       {[]Step{StepRunning}, (*State).lap},
	End:       {[]Step{StepRunning, StepLate}, (*State).end},
	Signal:    {[]Step{StepLate}, (*State).signal},
	Early:     {[]Step{StepEarly}, (*State).early},
	Exertion:  {[]Step{StepExertion}, (*State).exertion},
	Comfort:   {[]Step{StepComfort}, (*State).comfort},
	Noted:     {[]Step{StepNote}, (*State).noted},
	Skip:      {[]Step{StepChange}, (*State).skip},
	Again:     {afterBlock, (*State).again},
	Swap:      {[]Step{StepChange}, (*State).swap},
	Wore:      {append([]Step{StepRunning}, afterBlock...), (*State).wore},
	Stop:      {anyTime, (*State).stop},
	OnlyBlock: {[]Step{StepWhy}, (*State).onlyBlock},
	Stopped:   {[]Step{StepWhy}, (*State).stopped},
	Finish:    {[]Step{StepClosing}, (*State).finish},
	Remark:    {[]Step{StepDone}, func(s *State, e timed) { s.Remark = e.arg(0) }},
}

func (s *State) plan(e timed) {
	s.Plan = planOf(e.Event)
	for place := range s.Plan.Order {
		s.Queue = append(s.Queue, place)
	}
	s.Step = StepWeigh
}

func (s *State) weighed(e timed) {
	w := Weights{parse(e.arg(0)), parse(e.arg(1))}
	if units.Known(w.Left) || units.Known(w.Right) {
		s.Weights[s.Plan.Shoes[s.Weighing].ID] = w
	}
	if s.Weighing++; s.Weighing == len(s.Plan.Shoes) {
		s.Step = StepDay
	}
}

// day takes the arguments air in °C, wind in m/s, humidity in percent, sky and surface.
func (s *State) day(e timed) {
	c := &s.Conditions
	c.AirC, c.WindMps, c.HumidityPct = parse(e.arg(0)), parse(e.arg(1)), parse(e.arg(2))
	c.Sky, c.Surface = e.arg(3), e.arg(4)
	s.Step = StepSensor
}

func (s *State) sensor(e timed) {
	s.SensorPlace, s.Step = e.arg(0), StepWarmUp
}

// pass leaves the question of the step without an answer.
func (s *State) pass(timed) {
	switch s.Step {
	case StepWeigh:
		s.Step = StepDay
	case StepDay:
		s.Step = StepSensor
	case StepSensor:
		s.Step = StepWarmUp
	case StepWarmUp:
		s.Step = StepChange
	case StepEarly:
		s.Step = StepExertion
	case StepExertion:
		s.Step = StepComfort
	case StepComfort:
		s.Step = StepNote
	default:
		s.toNext()
	}
}

func (s *State) warmStart(e timed) {
	s.WarmStart, s.Step = &e.at, StepWarming
}

func (s *State) warmEnd(e timed) {
	s.WarmEnd, s.Step = &e.at, StepChange
}

// toNext goes to the next block, or to the end where there is none.
func (s *State) toNext() {
	s.Step = StepChange
	if len(s.Queue) == 0 {
		s.Step = StepClosing
	}
}
