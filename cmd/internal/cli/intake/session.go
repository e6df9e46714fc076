package intake

import (
	"strconv"
	"time"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/recording"
)

// Layouts of the start in a session.yaml: with its offset from UTC where that is
// known, else as the clock at the venue showed it.
const (
	startLayout = "15:04:05Z07:00"
	localLayout = "15:04:05"
)

// localStart is when the recording starts, in local time where that is known.
func localStart(got *recording.Import) time.Time {
	if got.Zone == nil {
		return got.Start
	}
	return got.Start.In(got.Zone)
}

// dateFrom lets a recording set the date of a session that has none, and the start
// where it is the first, whose clock the session's is; it reports whether it set
// the start.
func (in *Import) dateFrom(got *recording.Import) bool {
	facts, first := &in.Session.Facts, len(in.Session.Facts.Recordings) == 0
	switch {
	case (facts.Date == "" || in.planned) && first && !got.Start.IsZero():
		in.start = got.Start
		facts.Date, facts.Start = in.start.Format(DateLayout), in.start.Format(startLayout)
		return true
	case facts.Date != "":
	case !got.Start.IsZero():
		facts.Date = localStart(got).Format(DateLayout)
	case !got.Local.IsZero():
		facts.Date = got.Local.Format(DateLayout)
		if first {
			facts.Start = got.Local.Format(localLayout)
		}
		return first
	}
	return false
}

// describeSession adds the session.yaml with the recordings.
func (in *Import) describeSession() error {
	path := in.Session.Folder() + "/session.yaml"
	text, found, err := in.existing(path)
	if err == nil && !found {
		text, err = in.newSession()
	}
	if err != nil {
		return err
	}
	if in.planned && !in.start.IsZero() {
		text = in.setStart(text)
	}
	if len(in.Session.Facts.Recordings) == 0 {
		in.Files[path] = text // a table of laps
		return nil
	}
	if in.Files[path], err = yamltext.SetRecordings(text, in.Session.Facts.Recordings); err != nil {
		return voice.Usage("", "cannot write the recordings: %v", err)
	}
	return nil
}

// setStart writes the start into a session.yaml that was written before the run.
func (in *Import) setStart(text []byte) []byte {
	at := in.start
	if in.zone != nil {
		at = at.In(in.zone)
	}
	planned := in.folder.Dataset.Session(in.Session.ID).Facts.Date
	if day := at.Format(DateLayout); day != planned {
		in.remark("the recording is of %s, session.yaml of %q says %s: change the date if it was run then",
			day, in.Session.ID, planned)
	}
	return yamltext.SetKey(text, "start", []byte("start: "+strconv.Quote(at.Format(startLayout))+"\n"))
}

// newSession is the beginning of a session.yaml.
func (in *Import) newSession() ([]byte, error) {
	facts := &in.Session.Facts
	if err := in.dayFromPerson(); err != nil {
		return nil, err
	}
	if in.zone != nil && !in.start.IsZero() { // one of the devices knew it
		at := in.start.In(in.zone)
		facts.Date, facts.Start = at.Format(DateLayout), at.Format(startLayout)
	}
	if in.options.Date != "" && in.options.Date != facts.Date && !in.options.AnyDay {
		in.remark(
			"--date was ignored: the clock of the recording says %s; edit session.yaml to change them where that "+
				"is wrong",
			facts.Date)
	}
	text, err := yamltext.NewSession(facts)
	if err != nil {
		return nil, voice.Usage("", "cannot write session.yaml: %v", err)
	}
	return text, nil
}

// dayFromPerson takes the day of a new session from the options or from its id
// where no recording tells it.
func (in *Import) dayFromPerson() error {
	if in.Session.Facts.Date != "" {
		return nil
	}
	day := in.options.Date
	if day == "" {
		day = LeadingDay(in.Session.ID)
	}
	if day == "" {
		return voice.Usage("give it with --date YYYY-MM-DD, or begin the session's name with it",
			"the day of %q is not known: no recording has it", in.Session.ID)
	}
	in.Session.Facts.Date = day
	return checkDay(day)
}
