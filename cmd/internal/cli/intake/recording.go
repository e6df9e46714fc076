package intake

import (
	"bytes"
	"errors"
	"maps"
	"math"
	"slices"
	"time"

	"github.com/goccy/go-yaml"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// addRecording gives what one device recorded its place in the dataset and on the
// session's clock.
func (in *Import) addRecording(p piece) error {
	in.report(p)
	if p.read.Samples == nil {
		return in.addLaps(p)
	}
	path := in.Session.Folder() + "/" + p.device + ".csv"
	text := plaintext.AppendSamples(nil, p.read.Samples)
	if err := in.checkReplaces(path, text); err != nil {
		return err
	}
	in.Files[path] = text
	fact := trial.RecordingFact{
		File: p.device + ".csv", Device: p.device, OffsetS: in.offset(p.read),
		SourceSha256: p.sha256(), SourceFormat: p.read.Format,
	}
	if err := in.checkTogether(fact, p.read); err != nil {
		return err
	}
	in.samples[fact.File] = p.read.Samples
	in.placed = append(in.placed, placed{p, in.addFact(fact, !p.read.Start.IsZero())})
	return nil
}

// readFailure is a failure with the place in the file where reading went wrong.
func readFailure(err error) error {
	var e *recording.Error
	if !errors.As(err, &e) {
		return voice.Usage("", "%v", err)
	}
	at := trial.Position{File: e.File, Line: e.Line, Column: e.Column}
	return &voice.Failure{
		Code: voice.ExitUsage, Message: "nothing was imported",
		Problems: []trial.Problem{{At: at, Message: e.Message, Hint: e.Hint}},
	}
}

// checkReplaces refuses to replace other bytes without Force.
func (in *Import) checkReplaces(path string, text []byte) error {
	old, found, err := in.existing(path)
	if err != nil {
		return err
	}
	in.replaced = in.replaced || found && !bytes.Equal(old, text)
	if !found || bytes.Equal(old, text) || in.options.Force || in.options.DryRun {
		return nil
	}
	return voice.Usage("name another device with --device, or replace it with --force",
		"%q exists already with other content", path)
}

// columnsOf is the column map of a device: what the dataset remembers, overruled by
// the options.
func (in *Import) columnsOf(device string) map[string]string {
	columns := map[string]string{}
	for _, m := range in.folder.Dataset.Facts.Imports {
		if m.Device == device {
			maps.Copy(columns, m.Columns)
		}
	}
	maps.Copy(columns, in.options.Columns)
	return columns
}

// rememberColumns writes a column map of the options into dataset.yaml, for the
// device it was given for.
func (in *Import) rememberColumns(files int) error {
	if len(in.options.Columns) == 0 {
		return nil
	}
	if files != 1 {
		return voice.Usage("import the files one by one", "--map with %d files", files)
	}
	// The maps of the other devices stay.
	device := in.options.device(0)
	type yamlMap struct {
		Device  string            `yaml:"device"`
		Columns map[string]string `yaml:"columns"`
	}
	list := []yamlMap{}
	for _, m := range in.folder.Dataset.Facts.Imports {
		if m.Device != device {
			list = append(list, yamlMap(m))
		}
	}
	list = append(list, yamlMap{device, in.columnsOf(device)})
	block, err := yaml.MarshalWithOptions(map[string]any{"imports": list}, yaml.IndentSequence(true))
	if err != nil {
		return voice.Usage("", "cannot write the column map: %v", err)
	}
	text, found, err := in.existing("dataset.yaml")
	if err != nil {
		return err
	}
	if !found {
		return voice.Usage("", "cannot read dataset.yaml: it is missing")
	}
	in.Files["dataset.yaml"] = yamltext.SetKey(text, "imports", block)
	return nil
}

// addFact puts a recording into the session's list, in the place of an earlier one
// of the same file, whose mount and calibration stay. The offset stays too, which a
// person may have set, when the source is the same or has no clock; hasClock says
// that it has one. It returns the fact as it is listed.
func (in *Import) addFact(fact trial.RecordingFact, hasClock bool) trial.RecordingFact {
	list := append([]trial.RecordingFact(nil), in.Session.Facts.Recordings...)
	at := slices.IndexFunc(list, func(old trial.RecordingFact) bool { return old.File == fact.File })
	// A new one.
	if at < 0 {
		if !units.Known(fact.OffsetS) {
			in.remark("no clock links %q to the other recordings: find its offset with %s, or write offset_s into "+
				"session.yaml",
				fact.File, in.options.NextCommand("align -s "+in.Session.ID))
		}
		in.Session.Facts.Recordings = append(list, fact)
		return fact
	}
	// One that takes another's place.
	old := list[at]
	fact.Mount, fact.Calibration = old.Mount, old.Calibration
	switch {
	case !units.Known(old.OffsetS):
	case !hasClock || old.SourceSha256 == fact.SourceSha256:
		fact.OffsetS = old.OffsetS
	case old.OffsetS != fact.OffsetS:
		in.remark("offset_s of %q is now %s, by the clock of the new file; it was %s",
			fact.File, units.FormatExact(fact.OffsetS), units.FormatExact(old.OffsetS))
	}
	list[at] = fact
	in.Session.Facts.Recordings = list
	return fact
}

// offset returns the seconds from the session's clock to the recording's, and
// sets the session's date from the first recording that has one, the start from
// the first recording. It is missing where no clock ties the recording to the
// ones before it. The zone of the first file that knows it becomes the session's.
func (in *Import) offset(got *recording.Import) float64 {
	if in.zone == nil {
		in.zone = got.Zone
	}
	if in.dateFrom(got) {
		return 0
	}
	facts := &in.Session.Facts
	start, err := time.Parse(DateLayout+" "+localLayout, facts.Date+" "+facts.Start)
	if err == nil && !got.Local.IsZero() {
		return milliseconds(got.Local.Sub(start))
	}
	for _, layout := range []string{startLayout, "15:04Z07:00"} {
		start, err := time.Parse(DateLayout+" "+layout, facts.Date+" "+facts.Start)
		if err == nil && !got.Start.IsZero() {
			return milliseconds(got.Start.Sub(start))
		}
	}
	if len(facts.Recordings) == 0 {
		return 0 // the first recording is the session's clock
	}
	return units.Missing
}

// milliseconds is a duration in seconds, rounded to the millisecond.
func milliseconds(d time.Duration) float64 { return math.Round(d.Seconds()*1000) / 1000 }
