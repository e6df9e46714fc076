// Package intake takes recordings into a session: it reads the files, puts them on
// the session's clock, and proposes blocks from laps or from changes of effort.
//
// Call [Read]. Nothing is written: the [Import] that it returns holds the files to
// write, what was read of each recording, and the remarks for the person. It prints
// nothing, and takes no decision that a person should take: a recording that lies
// far from the others, or is mostly damaged, is refused unless Force is set.
package intake

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
)

// Import is what recordings come to, before anything is written.
type Import struct {
	Session trial.Session     // with the recordings among its facts
	Files   map[string][]byte // to write, by path in the dataset
	Reports []Report          // one for each file read
	Remarks []string          // for the person, in their order

	Evidence segment.Evidence // what blocks were found by, on the session's clock
	Found    segment.Proposal // what they are by that
	Blocks   []trial.Block    // that were written, or would be

	options    Options
	fsys       fs.FS
	folder     *plaintext.Folder
	samples    map[string]*trial.Samples // by file of this import
	placed     []placed                  // what was read, on the session's clock
	lapTable   *piece                    // a table with one row for each lap, which is no recording; nil for none
	replaced   bool                      // a recording of the session gives way to another
	givenZone  *time.Location            // from the options, nil for none
	zone       *time.Location            // local time of the session, nil when nothing tells it
	start      time.Time                 // when a new session starts
	shoes      []string                  // ids of the register, new ones too
	given      []trial.Block             // of a session's folder; nil where blocks are to be found
	givenShoes []trial.Shoe
	planned    bool // the session was described before it was run, and its clock is not set
}

// Read reads recordings from files anywhere on this machine for a session of the
// dataset in fsys, which need not be there yet. The error is a [voice.Failure]; the
// import beside it then holds the reports and remarks so far.
func Read(fsys fs.FS, o Options, files []string) (*Import, error) {
	in := &Import{options: o, fsys: fsys, Files: map[string][]byte{}, samples: map[string]*trial.Samples{}}
	// Refuse options that do not fit, and find the session.
	if err := o.check(len(files)); err != nil {
		return in, err
	}
	if err := in.openSession(len(files)); err != nil {
		return in, err
	}
	// Read every file, and join those of one device.
	sources, err := in.readFiles(files)
	if err != nil {
		return in, err
	}
	pieces, err := in.byDevice(sources)
	if err != nil {
		return in, err
	}
	// Shoes that are new, and shoes that files were said to be run in.
	if err := in.addShoes(); err != nil {
		return in, err
	}
	if err := in.checkShoes(sources); err != nil {
		return in, err
	}
	// Each device's recording, then what the session is and its blocks.
	for _, p := range pieces {
		if err := in.addRecording(p); err != nil {
			return in, err
		}
	}
	in.sayLaps()
	in.guessHeld()
	if err := in.rememberColumns(len(files)); err != nil {
		return in, err
	}
	if err := in.describeSession(); err != nil {
		return in, err
	}
	return in, in.proposeBlocks()
}

func (in *Import) remark(format string, args ...any) {
	in.Remarks = append(in.Remarks, fmt.Sprintf(format, args...))
}

// openSession reads the dataset's text and finds the session, or begins a new one.
func (in *Import) openSession(files int) error {
	o := &in.options
	// The dataset, and the zone of the clock.
	var err error
	if in.folder, err = readDataset(in.fsys, o.Session, o.recordings(files)); err != nil {
		return err
	}
	if in.givenZone, err = parseZone(o.Zone); err != nil {
		return err
	}
	// A session that is there keeps its facts; a new one takes the options'.
	if s := in.folder.Dataset.Session(o.Session); s != nil {
		in.Session = *s
		in.planned = (s.Plan != nil || s.FieldLog != nil) && s.Facts.Start == "" && len(s.Facts.Recordings) == 0
		if o.Target != "" || o.Effort != "" && o.Effort != string(s.Effort()) {
			in.remark("the session exists already: --effort and --target were ignored; edit session.yaml to change " +
				"them")
		}
		if o.Date != "" && o.Date != s.Facts.Date {
			in.remark("the session exists already, of %s: --date was ignored; edit session.yaml to change them",
				s.Facts.Date)
		}
	} else {
		o.Effort, o.Target = PlainTarget(o.Effort, o.Target)
		in.Session = trial.Session{ID: o.Session, Facts: trial.SessionFacts{Effort: o.Effort, Target: o.Target}}
		if o.Effort != "" {
			if err := CheckEffort(o.Effort, o.Target); err != nil {
				return err
			}
		}
	}
	// Without a plan there is nothing to match.
	if o.MatchPlan && in.Session.Plan == nil {
		return voice.Usage("write the shoes into blocks.csv yourself, and plan the next session with `soletrial "+
			"plan`",
			"--match-plan: session %q has no plan.yaml", o.Session)
	}
	return nil
}

// readDataset reads the dataset's text for an import into a session, whose blocks
// need not be there yet. Neither need session.yaml mention the recordings that this
// import is about to write: one that was interrupted may have left them there.
func readDataset(fsys fs.FS, session string, recordings []string) (*plaintext.Folder, error) {
	folder, problems := plaintext.Read(fsys, yamltext.Read)
	inSession := (&trial.Session{ID: session}).Folder() + "/"
	problems = slices.DeleteFunc(problems, func(p trial.Problem) bool {
		name, here := strings.CutPrefix(p.At.File, inSession)
		return here && (name == "blocks.csv" && p.Message == "is missing" ||
			slices.Contains(recordings, name) && p.Message == plaintext.NotMentioned)
	})
	if len(problems) > 0 {
		return nil, voice.Unreadable(problems)
	}
	return folder, nil
}

// existing is what a file of the dataset holds; found is false where there is none.
func (in *Import) existing(path string) (text []byte, found bool, err error) {
	text, err = fs.ReadFile(in.fsys, path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, false, nil
	case err != nil:
		return nil, false, voice.Usage("", "cannot read %q: %v", path, voice.Reason(err))
	}
	return text, true, nil
}
