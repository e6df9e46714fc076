package session

import (
	"math"
	"slices"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// start begins the next block.
func (s *State) start(e timed) {
	if len(s.Queue) == 0 {
		return
	}
	place, shoe := s.Next()
	no := units.Missing
	s.Blocks = append(s.Blocks, Block{Name: s.name(place), Place: place, Shoe: shoe, Start: e.at,
		LapsNoted: no, Metres: no, RPE: no, ComfortMm: no})
	if planned := s.Plan.Order[place]; planned != shoe {
		s.deviate(trial.Deviation{Kind: trial.Swapped, Block: s.Last().Name, Planned: planned, Worn: shoe,
			AtS: tenths(e.at.S), Reason: s.wornWhy})
	}
	s.Queue, s.Worn, s.Step = s.Queue[1:], "", StepRunning
}

func (s *State) lap(e timed) {
	last := s.Last()
	last.Laps = append(last.Laps, e.at)
}

// end ends the block that runs, and asks where its length is not as planned. A
// second End answers that the tap counts.
func (s *State) end(e timed) {
	if s.Step == StepLate {
		s.Step = StepExertion
		return
	}
	last := s.Last()
	last.End, last.Ended = e.at, true
	s.ask()
}

// ask goes to the questions about the block that has ended: first about its end,
// where that is not as planned.
func (s *State) ask() {
	s.Step = StepExertion
	if over := s.Over(); over > Grace {
		s.Step = StepLate
	} else if over < -Grace {
		s.Step = StepEarly
	}
}

// Over is by how many seconds the last block was longer than planned, negative for
// shorter; 0 where no length is planned or the block runs.
func (s *State) Over() float64 {
	last := s.Last()
	if last == nil || !last.Ended || !planned(s.Plan.BlockS) {
		return 0
	}
	return last.End.S - last.Start.S - s.Plan.BlockS
}

// signal moves the end of the last block back to the signal, by both clocks; laps
// tapped after it were not run in the block.
func (s *State) signal(timed) {
	last, over := s.Last(), s.Over()
	last.End.S -= over
	last.End.WallMs -= int64(math.Round(over * 1000))
	for len(last.Laps) > 0 && last.Laps[len(last.Laps)-1].S > last.End.S {
		last.Laps = last.Laps[:len(last.Laps)-1]
	}
	s.Step = StepExertion
}

func (s *State) early(e timed) {
	last := s.Last()
	s.deviate(trial.Deviation{Kind: trial.Short, Block: last.Name, AtS: tenths(e.at.S), Reason: e.arg(0)})
	s.Step = StepExertion
}

func (s *State) exertion(e timed) {
	s.Last().RPE, s.Step = parse(e.arg(0)), StepComfort
}

func (s *State) comfort(e timed) {
	s.Last().ComfortMm, s.Step = parse(e.arg(0)), StepNote
}

func (s *State) noted(e timed) {
	last := s.Last()
	last.Note, last.LapsNoted, last.Metres = e.arg(0), parse(e.arg(1)), parse(e.arg(2))
	s.toNext()
}

func (s *State) skip(e timed) {
	place, _ := s.Next()
	s.deviate(trial.Deviation{Kind: trial.Skipped, Block: s.NextName(), Planned: s.Plan.Order[place],
		AtS: tenths(e.at.S), Reason: e.arg(0)})
	s.Queue, s.Worn = s.Queue[1:], ""
	s.toNext()
}

// again puts the place of the last block at the head of the queue, and excludes the
// block that was spoiled.
func (s *State) again(e timed) {
	last := s.Last()
	if last == nil || last.Excluded != "" || e.arg(0) == "" {
		return
	}
	last.Excluded = e.arg(0)
	s.deviate(trial.Deviation{Kind: trial.Repeated, Block: last.Name, AtS: tenths(e.at.S), Reason: e.arg(0)})
	s.Queue = append([]int{last.Place}, s.Queue...)
	s.Worn, s.Step = "", StepChange
}

// swap puts another shoe on for the next block; it is noted when that one starts.
func (s *State) swap(e timed) { s.Worn, s.wornWhy = e.arg(0), e.arg(1) }

// wore corrects the shoe of the last block, while it runs or after; going back to the planned shoe takes the
// deviation away.
func (s *State) wore(e timed) {
	last := s.Last()
	if last == nil {
		return
	}
	s.Deviations = slices.DeleteFunc(s.Deviations, func(d trial.Deviation) bool {
		return d.Kind == trial.Swapped && d.Block == last.Name
	})
	last.Shoe = e.arg(0)
	if planned := s.Plan.Order[last.Place]; planned != last.Shoe {
		s.deviate(trial.Deviation{Kind: trial.Swapped, Block: last.Name, Planned: planned, Worn: last.Shoe,
			AtS: tenths(e.at.S), Reason: e.arg(1)})
	}
}

func (s *State) deviate(d trial.Deviation) { s.Deviations = append(s.Deviations, d) }

// stop ends the block that runs and then the session, at once; why is asked when
// there is time. Where all blocks are run there is nothing to ask.
func (s *State) stop(e timed) {
	if s.Step == StepRunning {
		last := s.Last()
		last.End, last.Ended = e.at, true
	}
	s.Ended, s.Step = &e.at, StepWhy
	if s.WarmStart != nil && s.WarmEnd == nil {
		s.WarmEnd = &e.at
	}
	if len(s.Queue) == 0 && s.Over() > -Grace {
		s.Step = StepDone
	}
}

// EndedByStop reports whether the stop of the session ended a block.
func (s *State) EndedByStop() bool {
	last := s.Last()
	return last != nil && s.Ended != nil && last.Ended && last.End == *s.Ended
}

// onlyBlock takes a stop for the end of the block that ran.
func (s *State) onlyBlock(timed) {
	if s.EndedByStop() {
		s.Ended = nil
		s.ask()
	}
}

func (s *State) stopped(e timed) {
	s.deviate(trial.Deviation{Kind: trial.Stopped, AtS: tenths(s.Ended.S), Reason: e.arg(0)})
	if s.EndedByStop() && s.Over() < -Grace {
		s.deviate(trial.Deviation{Kind: trial.Short, Block: s.Last().Name, AtS: tenths(s.Ended.S), Reason: e.arg(0)})
	}
	s.Step = StepDone
}

func (s *State) finish(e timed) {
	s.Ended, s.Remark, s.Step = &e.at, e.arg(0), StepDone
}
