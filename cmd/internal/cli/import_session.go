package cli

import (
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"github.com/goccy/go-yaml"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Layouts of the date and start of a session whose offset from UTC is known.
const (
	dateLayout  = "2006-01-02"
	startLayout = "15:04:05Z07:00"
)

// parseZone reads an offset from UTC; nil for blank text.
func parseZone(text string) (*time.Location, error) {
	if text == "" {
		return nil, nil
	}
	at, err := time.Parse("Z07:00", text)
	if err != nil {
		return nil, voice.Usage("write hours and minutes ahead of UTC, such as +02:00, -04:00 or Z", "--zone: %q is no offset from UTC", text)
	}
	_, ahead := at.Zone()
	return time.FixedZone("", ahead), nil
}

// localStart is when the recording starts, in local time where that is known.
func localStart(got *recording.Import) time.Time {
	if got.Zone == nil {
		return got.Start
	}
	return got.Start.In(got.Zone)
}

// offset returns the seconds from the session's clock to the recording's, and
// sets the session's date from the first recording that has one, the start from
// the first recording. It is missing where no clock ties the recording to the
// ones before it. The zone of the first file that knows it becomes the session's.
func (in *intake) offset(got *recording.Import) float64 {
	if in.zone == nil {
		in.zone = got.Zone
	}
	if in.datedBy(got) {
		return 0
	}
	if start, err := time.Parse(dateLayout+" "+localLayout, in.session.Facts.Date+" "+in.session.Facts.Start); err == nil && !got.Local.IsZero() {
		return math.Round(got.Local.Sub(start).Seconds()*1000) / 1000
	}
	for _, layout := range []string{startLayout, "15:04Z07:00"} {
		start, err := time.Parse(dateLayout+" "+layout, in.session.Facts.Date+" "+in.session.Facts.Start)
		if err == nil && !got.Start.IsZero() {
			return math.Round(got.Start.Sub(start).Seconds()*1000) / 1000
		}
	}
	if len(in.session.Facts.Recordings) == 0 {
		return 0 // the first recording is the session's clock
	}
	return units.Missing
}

// add puts a recording into the session's list, in the place of an earlier one
// of the same file, whose mount and calibration it keeps. It keeps the offset too, which a person
// may have set, when the source is the same or has no clock; timed says that it
// has one. It returns the fact as it is kept.
func (a *app) add(in *intake, fact trial.RecordingFact, timed bool) trial.RecordingFact {
	list := append([]trial.RecordingFact(nil), in.session.Facts.Recordings...)
	at := slices.IndexFunc(list, func(old trial.RecordingFact) bool { return old.File == fact.File })
	if at < 0 {
		if !units.Known(fact.OffsetS) {
			a.Remark("no clock ties %q to the other recordings: find its offset with %s, or write offset_s into session.yaml", fact.File, a.NextCommand("align -s "+in.session.ID))
		}
		in.session.Facts.Recordings = append(list, fact)
		return fact
	}
	old := list[at]
	fact.Mount, fact.Calibration = old.Mount, old.Calibration
	switch {
	case !units.Known(old.OffsetS):
	case !timed || old.SourceSha256 == fact.SourceSha256:
		fact.OffsetS = old.OffsetS
	case old.OffsetS != fact.OffsetS:
		a.Remark("offset_s of %q is %s now, by the clock of the new file; it was %s", fact.File, offsetText(fact.OffsetS), offsetText(old.OffsetS))
	}
	list[at] = fact
	in.session.Facts.Recordings = list
	return fact
}

func offsetText(offset float64) string { return strconv.FormatFloat(offset, 'f', -1, 64) }

// yamlRecording is a recording's facts in the order they are written.
type yamlRecording struct {
	File         string   `yaml:"file"`
	Device       string   `yaml:"device,omitempty"`
	Mount        string   `yaml:"mount,omitempty"`
	Calibration  string   `yaml:"calibration,omitempty"`
	OffsetS      *seconds `yaml:"offset_s,omitempty"`
	SourceSha256 string   `yaml:"source_sha256,omitempty"`
	SourceFormat string   `yaml:"source_format,omitempty"`
}

// seconds is written out, never with an exponent, which the strict reader
// refuses.
type seconds float64

// MarshalYAML writes the number.
func (s seconds) MarshalYAML() ([]byte, error) {
	return []byte(offsetText(float64(s))), nil
}

// describe writes session.yaml and, where there are no blocks yet, proposes
// them.
func (a *app) describe(in *intake) error {
	path := in.session.Folder() + "/session.yaml"
	text, err := os.ReadFile(filepath.Join(a.Dataset, filepath.FromSlash(path)))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if text, err = a.newSession(in); err != nil {
			return err
		}
	case err != nil:
		return voice.Usage("", "%v", err)
	}
	if in.planned && !in.began.IsZero() {
		text = a.setClock(in, text)
	}
	if in.files[path], err = withRecordings(text, in.session.Facts.Recordings); err != nil {
		return err
	}
	a.proposeBlocks(in)
	return nil
}

// setClock writes into a session.yaml that was written before the run when its
// clock started.
func (a *app) setClock(in *intake, text []byte) []byte {
	at := in.began
	if in.zone != nil {
		at = at.In(in.zone)
	}
	planned := in.folder.Dataset.Session(in.session.ID).Facts.Date
	if day := at.Format(dateLayout); day != planned {
		a.Remark("the recording is of %s, session.yaml of %q says %s: change the date if it was run then", day, in.session.ID, planned)
	}
	return yamltext.SetKey(text, "start", []byte("start: "+strconv.Quote(at.Format(startLayout))+"\n"))
}

// withRecordings returns a session.yaml with its list of recordings replaced.
func withRecordings(text []byte, facts []trial.RecordingFact) ([]byte, error) {
	list := make([]yamlRecording, len(facts))
	for i, r := range facts {
		list[i] = yamlRecording{r.File, r.Device, r.Mount, r.Calibration, nil, r.SourceSha256, r.SourceFormat}
		if units.Known(r.OffsetS) {
			list[i].OffsetS = (*seconds)(&r.OffsetS)
		}
	}
	block, err := yaml.MarshalWithOptions(map[string]any{"recordings": list}, yaml.IndentSequence(true))
	if err != nil {
		return nil, voice.Usage("", "cannot write the recordings: %v", err)
	}
	return yamltext.SetKey(text, "recordings", block), nil
}

// newSession is the beginning of a session.yaml.
func (a *app) newSession(in *intake) ([]byte, error) {
	if err := in.dayFromPerson(); err != nil {
		return nil, err
	}
	if in.zone != nil && !in.began.IsZero() { // one of the devices knew it
		at := in.began.In(in.zone)
		in.session.Facts.Date, in.session.Facts.Start = at.Format(dateLayout), at.Format(startLayout)
	}
	if in.date != "" && in.date != in.session.Facts.Date {
		a.Remark("--date was not looked at: the clock of the recording says %s; change session.yaml by hand where that is wrong", in.session.Facts.Date)
	}
	facts := yaml.MapSlice{{Key: "date", Value: in.session.Facts.Date}}
	if in.session.Facts.Start != "" {
		facts = append(facts, yaml.MapItem{Key: "start", Value: in.session.Facts.Start})
	}
	facts = append(facts, yaml.MapItem{Key: "effort", Value: in.session.Facts.Effort})
	if in.session.Facts.Target != "" {
		facts = append(facts, yaml.MapItem{Key: "target", Value: in.session.Facts.Target})
	}
	text, err := yaml.Marshal(facts)
	if err != nil {
		return nil, voice.Usage("", "cannot write session.yaml: %v", err)
	}
	return text, nil
}

// rememberMap writes a column map given on the command line into dataset.yaml,
// for the device it was given for.
func (a *app) rememberMap(in *intake, files int) error {
	if len(in.columns) == 0 {
		return nil
	}
	if files != 1 {
		return voice.Usage("import the files one by one", "--map with %d files", files)
	}
	device := in.device(0)
	type yamlMap struct {
		Device  string            `yaml:"device"`
		Columns map[string]string `yaml:"columns"`
	}
	remembered := []yamlMap{}
	for _, m := range in.folder.Dataset.Facts.Imports {
		if m.Device != device {
			remembered = append(remembered, yamlMap(m))
		}
	}
	remembered = append(remembered, yamlMap{device, in.mapFor(device)})
	block, err := yaml.MarshalWithOptions(map[string]any{"imports": remembered}, yaml.IndentSequence(true))
	if err != nil {
		return voice.Usage("", "cannot write the column map: %v", err)
	}
	text, err := os.ReadFile(filepath.Join(a.Dataset, "dataset.yaml"))
	if err != nil {
		return voice.Usage("", "cannot read dataset.yaml: %v", err)
	}
	in.files["dataset.yaml"] = yamltext.SetKey(text, "imports", block)
	return nil
}
