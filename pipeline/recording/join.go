package recording

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// deviceKey tells devices apart while a FIT file is read; it is never shown or
// written. The zero value is that of files that do not say.
type deviceKey struct{ manufacturer, product, serial float64 }

// Groups divides recordings into those that one device made one after the other, by
// their numbers: the groups in the order of their first recordings, each in the
// order of time. Recordings are of one device where they do not overlap, are of one
// format, and have the same channels; with anyDevice it is enough that they do not
// overlap. One without a clock is a group of its own.
func Groups(files []*Import, anyDevice bool) [][]int {
	var groups [][]int
	for i, f := range files {
		at := slices.IndexFunc(groups, func(g []int) bool {
			return !slices.ContainsFunc(g, func(j int) bool { return !f.follows(files[j], anyDevice) })
		})
		if at < 0 {
			groups = append(groups, []int{i})
			continue
		}
		groups[at] = append(groups[at], i)
	}
	for _, g := range groups {
		stable.Sort(g, func(a, b int) int { return files[a].clock().Compare(files[b].clock()) })
	}
	return groups
}

// follows reports whether two recordings can be pieces of one.
func (imp *Import) follows(other *Import, anyDevice bool) bool {
	if imp.Samples == nil || other.Samples == nil {
		return false
	}
	if imp.Start.IsZero() != other.Start.IsZero() || imp.clock().IsZero() || other.clock().IsZero() {
		return false
	}
	from, to := imp.span()
	otherFrom, otherTo := other.span()
	if !to.Before(otherFrom) && !otherTo.Before(from) {
		return false
	}
	return anyDevice || imp.Format == other.Format && imp.device == other.device && imp.channels() == other.channels()
}

// MaxPause is the longest pause between two recordings that can be of one session. An
// engineering choice.
const MaxPause = 12 * time.Hour

// Apart returns the numbers of the first two recordings, in the order of time, that are
// more than [MaxPause] apart, and how long the pause between them is; 0 where none are. It
// passes over those without a clock, and over those with another clock, in UTC or of an unknown
// zone, than the first that has one.
func Apart(files []*Import) (before, after int, pause time.Duration) {
	var order []int
	for i, f := range files {
		if f.Samples == nil || f.clock().IsZero() {
			continue
		}
		if len(order) == 0 || f.Start.IsZero() == files[order[0]].Start.IsZero() {
			order = append(order, i)
		}
	}
	stable.Sort(order, func(a, b int) int { return files[a].clock().Compare(files[b].clock()) })
	var end time.Time // of all recordings so far
	for k, i := range order {
		from, to := files[i].span()
		if pause := from.Sub(end); k > 0 && pause > MaxPause {
			return order[k-1], i, pause
		}
		if to.After(end) {
			end = to
		}
	}
	return 0, 0, 0
}

// clock is when elapsed reads 0: in UTC, else by the clock of an unknown zone.
func (imp *Import) clock() time.Time {
	if imp.Start.IsZero() {
		return imp.Local
	}
	return imp.Start
}

func (imp *Import) span() (from, to time.Time) {
	s := imp.Samples.Elapsed
	return imp.clock().Add(duration(slices.Min(s))), imp.clock().Add(duration(slices.Max(s)))
}

func (imp *Import) channels() string {
	var names []string
	for c := range trial.ChannelCount {
		if imp.Samples.Has(c) {
			names = append(names, c.Info().Column)
		}
	}
	return strings.Join(names, " ")
}

// Join makes one recording of several that do not overlap, in the order of time and
// on the clock of the first: gaps stay gaps, and are pauses. Distance goes on where
// the recording before ended, since every file starts it at 0. The lap of a file
// that has one only says nothing and is dropped. The files themselves stay as they
// are; there must be at least one.
func Join(files []*Import) *Import {
	if len(files) == 1 {
		return files[0]
	}
	joined := *files[0]
	joined.Samples, joined.Laps, joined.Pauses = &trial.Samples{}, nil, nil
	joined.Sources, joined.Dropped, joined.Warnings, joined.Doubts = nil, nil, nil, nil
	run := 0.0
	for i, f := range files {
		offset := f.clock().Sub(joined.clock()).Seconds()
		if i > 0 {
			last := slices.Max(joined.Samples.Elapsed)
			joined.Pauses = append(joined.Pauses, trial.Pause{StartS: last, EndS: f.Samples.Elapsed[0] + offset})
		}
		run = joined.append(f, offset, run)
		joined.say(f)
	}
	return &joined
}

// append adds the samples, laps and pauses of a recording, and returns the distance
// that was run until its end.
func (imp *Import) append(f *Import, offset, run float64) float64 {
	// Samples, of all channels that either has.
	n, more := imp.Samples.Len(), f.Samples.Len()
	for _, t := range f.Samples.Elapsed {
		imp.Samples.Elapsed = append(imp.Samples.Elapsed, units.Round(t+offset, trial.ElapsedDecimals))
	}
	for c := range trial.ChannelCount {
		if f.Samples.Values[c] == nil && imp.Samples.Values[c] == nil {
			continue
		}
		imp.Samples.Values[c] = append(filled(imp.Samples.Values[c], n), filled(f.Samples.Values[c], more)...)
	}
	// Distance goes on from where the recording before ended.
	end := run
	if distance := imp.Samples.Values[trial.DistanceM]; distance != nil {
		for i := n; i < n+more; i++ {
			if distance[i] += run; units.Known(distance[i]) {
				end = max(end, distance[i])
			}
		}
	}
	// Laps and pauses on the joined clock; a single lap is the whole file, not a press.
	for _, lap := range f.Laps {
		if len(f.Laps) > 1 {
			lap.StartS, lap.EndS = lap.StartS+offset, lap.EndS+offset
			imp.Laps = append(imp.Laps, lap)
		}
	}
	for _, p := range f.Pauses {
		imp.Pauses = append(imp.Pauses, trial.Pause{StartS: p.StartS + offset, EndS: p.EndS + offset})
	}
	stable.Sort(imp.Pauses, func(a, b trial.Pause) int { return cmp.Compare(a.StartS, b.StartS) })
	return end
}

// filled is a channel with n values, missing ones where it has none.
func filled(values []float64, n int) []float64 {
	if values != nil {
		return values
	}
	values = make([]float64, n)
	for i := range values {
		values[i] = units.Missing
	}
	return values
}

// say adds what was found out about a recording; columns that are in it already
// only gain values.
func (imp *Import) say(f *Import) {
	for _, source := range f.Sources {
		at := slices.IndexFunc(imp.Sources, func(s Source) bool { return s.Column == source.Column })
		if at < 0 {
			imp.Sources = append(imp.Sources, source)
		} else {
			imp.Sources[at].Values += source.Values
		}
	}
	add := func(list, more []string) []string {
		for _, text := range more {
			if !slices.Contains(list, text) {
				list = append(list, text)
			}
		}
		return list
	}
	imp.Dropped, imp.Warnings, imp.Doubts = add(imp.Dropped, f.Dropped), add(imp.Warnings, f.Warnings),
		add(imp.Doubts, f.Doubts)
	if imp.Zone == nil {
		imp.Zone = f.Zone
	}
	imp.Unread = max(imp.Unread, f.Unread)
}
