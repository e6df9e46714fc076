package recording

import (
	"fmt"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The years in which a recording can have been made. A clock outside them was not
// set, or is damaged.
const (
	minYear = 2000
	maxYear = 2100
)

// finish does what is the same for every format: samples that a device wrote in
// pieces become whole, and what nobody can use is refused.
func (imp *Import) finish(name string) error {
	if imp.Samples == nil {
		return nil // a table of laps
	}
	imp.mergeSplit()
	switch n := imp.Samples.Len(); {
	case n > trial.MaxSamples:
		return &Error{
			File:    name,
			Message: fmt.Sprintf("the file has %d samples, more than the %d that are read", n, trial.MaxSamples),
			Hint:    "cut it into single runs, or export it with one sample a second",
		}
	case imp.empty():
		return &Error{File: name, Message: "the file has times but no value of any channel",
			Hint: "export it with power, speed or heart rate"}
	}
	if year := imp.Start.Year(); !imp.Start.IsZero() && (year < minYear || year > maxYear) {
		imp.Doubts = append(imp.Doubts, fmt.Sprintf("it is of the year %d: the clock of the device was not set", year))
	}
	return nil
}

func (imp *Import) empty() bool {
	for c := range trial.ChannelCount {
		if imp.Samples.Has(c) {
			return false
		}
	}
	return true
}

// mergeSplit makes one sample of neighbours that have the same time and no channel
// in common: some devices write position and speed in one record, and heart rate
// in another of the same second.
func (imp *Import) mergeSplit() {
	s := imp.Samples
	// Move samples to the front, or into the one before that they complete.
	kept, merged := 0, 0
	for i := range s.Elapsed {
		if kept > 0 && s.Elapsed[kept-1] == s.Elapsed[i] && complementary(s, kept-1, i) {
			for c := range s.Values {
				if s.Values[c] != nil && units.Known(s.Values[c][i]) {
					s.Values[c][kept-1] = s.Values[c][i]
				}
			}
			merged++
			continue
		}
		s.Elapsed[kept] = s.Elapsed[i]
		for c := range s.Values {
			if s.Values[c] != nil {
				s.Values[c][kept] = s.Values[c][i]
			}
		}
		kept++
	}
	if merged == 0 {
		return
	}
	// Cut what was moved, and count again what was read.
	s.Elapsed = s.Elapsed[:kept]
	for c := range s.Values {
		if s.Values[c] != nil {
			s.Values[c] = s.Values[c][:kept]
		}
	}
	for i := range imp.Sources {
		if imp.Sources[i].Column == trial.ElapsedColumn {
			imp.Sources[i].Values = kept
		}
	}
	imp.drop("%d records were merged with another one of the same second that has the other channels", merged)
}

// complementary reports whether sample b has a channel that a lacks, and no other
// value of one that both have.
func complementary(s *trial.Samples, a, b int) bool {
	more := false
	for _, values := range s.Values {
		switch {
		case values == nil || !units.Known(values[b]):
		case !units.Known(values[a]):
			more = true
		case values[a] != values[b]:
			return false
		}
	}
	return more
}
