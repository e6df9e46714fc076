package intake

import (
	"math"
	"time"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// checkTogether refuses a recording that was made long before or after another of
// the same session, unless Force is set.
func (in *Import) checkTogether(fact trial.RecordingFact, got *recording.Import) error {
	from, to := span(fact, got.Samples)
	for _, other := range in.Session.Facts.Recordings {
		if other.File == fact.File || !units.Known(other.OffsetS) || !units.Known(fact.OffsetS) {
			continue
		}
		otherFrom, otherTo := span(other, in.samplesOf(other))
		pause := max(from-otherTo, otherFrom-to)
		if pause <= recording.MaxPause.Seconds() || in.options.Force {
			continue
		}
		err := voice.Usage("import it into its own session with -s, or accept it with --force",
			"%q starts at %s, %q of the same session at %s: they are %s apart",
			fact.File, clockOf(got, 0), other.File, clockOf(got, otherFrom-from), hoursText(pause))
		if !in.options.DryRun {
			return err
		}
		in.remark("warning: %v; importing it needs --force", err)
	}
	return nil
}

// checkApart refuses files of one device that were recorded long after one another, unless
// Force is set.
func (in *Import) checkApart(sources []source) error {
	reads := make([]*recording.Import, len(sources))
	for i, s := range sources {
		reads[i] = s.read
	}
	before, after, pause := recording.Apart(reads)
	if pause == 0 || in.options.Force {
		return nil
	}
	err := voice.Usage("name the files of one session, or accept them with --force",
		"%q was recorded %s after %q", sources[after].name, hoursText(pause.Seconds()), sources[before].name)
	if !in.options.DryRun {
		return err
	}
	in.remark("warning: %v; importing it needs --force", err)
	return nil
}

// checkDays refuses files of another day than the session's, unless Force is set.
func (in *Import) checkDays(sources []source) error {
	day := in.Session.Facts.Date
	if day == "" {
		day = in.options.Date
	}
	if day == "" {
		day = LeadingDay(in.Session.ID)
	}
	wanted, err := time.Parse(DateLayout, day)
	if err != nil || in.options.AnyDay {
		return nil // no day is known: the recordings tell it
	}
	for _, s := range sources {
		first, last := days(s.read)
		if day >= first.Format(DateLayout) && day <= last.Format(DateLayout) || first.IsZero() || in.options.Force {
			continue
		}
		err := voice.Usage("import it into its own session with -s, or accept it with --force",
			"%q is of %s, but the session is of %s", s.name, first.Format(longDay), wanted.Format(longDay))
		if !in.options.DryRun {
			return err
		}
		in.remark("warning: %v; importing it needs --force", err)
	}
	return nil
}

const longDay = "2 January 2006"

// days are the first and the last day that a recording can be of: the same where its
// local time is known. They are zero where it has no clock.
func days(r *recording.Import) (first, last time.Time) {
	switch {
	case !r.Start.IsZero() && r.Zone != nil:
		return localStart(r), localStart(r)
	case !r.Start.IsZero():
		return r.Start.Add(-12 * time.Hour), r.Start.Add(14 * time.Hour)
	}
	return r.Local, r.Local
}

// checkDoubts refuses a recording that is mostly unread or probably none of a
// run, unless Force is set.
func (in *Import) checkDoubts(file string, got *recording.Import) error {
	for _, doubt := range got.Doubts {
		if !in.options.Force {
			return voice.Usage("accept it with --force", "%q was not imported: %s", file, doubt)
		}
		in.remark("warning: %s", doubt)
	}
	if got.Unread <= recording.MaxUnread || in.options.Force {
		return nil
	}
	for _, w := range got.Warnings {
		in.remark("warning: %s", w)
	}
	return voice.Usage("export the recording again, or accept what can be read with --force",
		"%.0f %% of %q is damaged and cannot be read", 100*got.Unread, file)
}

// span is when a recording lasts on the session's clock; one without samples is
// a moment.
func span(fact trial.RecordingFact, s *trial.Samples) (from, to float64) {
	if s == nil || s.Len() == 0 {
		return fact.OffsetS, fact.OffsetS
	}
	return fact.OffsetS + s.Elapsed[0], fact.OffsetS + s.Elapsed[s.Len()-1]
}

// samplesOf returns the samples of a recording of this import or of one that was
// there before, nil where they cannot be read.
func (in *Import) samplesOf(fact trial.RecordingFact) *trial.Samples {
	if s, ok := in.samples[fact.File]; ok {
		return s
	}
	s, _ := in.folder.Samples(&in.Session, fact) // check reports what is wrong with it
	return s
}

// clockOf writes the time so many seconds after a recording starts.
func clockOf(got *recording.Import, laterS float64) string {
	later := time.Duration(math.Round(laterS) * float64(time.Second))
	if got.Start.IsZero() {
		return got.Local.Add(later).Format(DateLayout + " " + localLayout)
	}
	return localStart(got).Add(later).Format(DateLayout + " " + startLayout)
}

// hoursText writes a long span in hours or days.
func hoursText(s float64) string {
	if hours := int(math.Round(s / 3600)); hours < 72 {
		return units.Count(hours, "hour")
	}
	return units.Count(int(math.Round(s/86400)), "day")
}
