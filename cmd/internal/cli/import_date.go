package cli

import (
	"slices"
	"strings"
	"time"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
)

// localLayout is the start of a session whose offset from UTC is not known.
const localLayout = "15:04:05"

// datedBy lets a recording set the date of a session that has none, and the start
// where it is the first, whose clock the session's is; it reports whether it set
// the start.
func (in *intake) datedBy(got *recording.Import) bool {
	facts, first := &in.session.Facts, len(in.session.Facts.Recordings) == 0
	switch {
	case (facts.Date == "" || in.planned) && first && !got.Start.IsZero():
		in.began = got.Start
		facts.Date, facts.Start = in.began.Format(dateLayout), in.began.Format(startLayout)
		return true
	case facts.Date != "":
	case !got.Start.IsZero():
		facts.Date = localStart(got).Format(dateLayout)
	case !got.Local.IsZero():
		facts.Date = got.Local.Format(dateLayout)
		if first {
			facts.Start = got.Local.Format(localLayout)
		}
		return first
	}
	return false
}

// dayFromPerson takes the day of a new session from its name or from --date where
// no recording tells it.
func (in *intake) dayFromPerson() error {
	if in.session.Facts.Date != "" {
		return nil
	}
	day := in.date
	if day == "" {
		day = leadingDate.FindString(in.session.ID)
	}
	if day == "" {
		return voice.Usage("give it with --date YYYY-MM-DD, or begin the session's name with it", "the day of %q is not known: no recording tells it", in.session.ID)
	}
	in.session.Facts.Date = day
	return checkDay(day)
}

// checkDay refuses a day that is not in the calendar; blank is fine.
func checkDay(day string) error {
	if _, err := time.Parse(dateLayout, day); day != "" && err != nil {
		return voice.Usage("write the day as YYYY-MM-DD", "%q is not in the calendar", day)
	}
	return nil
}

// readFor reads the dataset's text for an import into a session, whose blocks
// need not be there yet. Neither need session.yaml mention the recordings that this
// import is about to write: one that was interrupted may have left them there.
func (a *app) readFor(session string, recordings []string) (*plaintext.Folder, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, err
	}
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	place := (&trial.Session{ID: session}).Folder() + "/"
	problems = slices.DeleteFunc(problems, func(p trial.Problem) bool {
		name, here := strings.CutPrefix(p.At.File, place)
		return here && (name == "blocks.csv" && p.Message == "is missing" || slices.Contains(recordings, name) && p.Message == plaintext.NotMentioned)
	})
	if len(problems) > 0 {
		return nil, voice.Unreadable(problems)
	}
	return folder, nil
}
