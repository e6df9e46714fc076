package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"github.com/goccy/go-yaml"

	"soletrial/pipeline/plaintext"
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

// offset returns the seconds from the session's clock to the recording's, and
// sets the session's date and start from the first recording that has a time.
func (in *intake) offset(got *recording.Import) float64 {
	if got.Start.IsZero() {
		return 0
	}
	if in.session.Facts.Date == "" {
		in.session.Facts.Date, in.session.Facts.Start = got.Start.Format(dateLayout), got.Start.Format(startLayout)
		return 0
	}
	start, err := time.Parse(dateLayout+" "+startLayout, in.session.Facts.Date+" "+in.session.Facts.Start)
	if err != nil {
		return 0 // a start without an offset from UTC ties no clocks together
	}
	return math.Round(got.Start.Sub(start).Seconds()*1000) / 1000
}

// add puts a recording into the session's list, in the place of an earlier one
// of the same file, whose mount it keeps. It keeps the offset too, which a person
// may have set, when the source is the same or has no clock; timed says that it
// has one.
func (a *app) add(in *intake, fact trial.RecordingFact, timed bool) {
	list := append([]trial.RecordingFact(nil), in.session.Facts.Recordings...)
	at := slices.IndexFunc(list, func(old trial.RecordingFact) bool { return old.File == fact.File })
	if at < 0 {
		in.session.Facts.Recordings = append(list, fact)
		return
	}
	old := list[at]
	fact.Mount = old.Mount
	switch {
	case !units.Known(old.OffsetS):
	case !timed || old.SourceSha256 == fact.SourceSha256:
		fact.OffsetS = old.OffsetS
	case old.OffsetS != fact.OffsetS:
		a.say("offset_s of %q is %s now, by the clock of the new file; it was %s", fact.File, offsetText(fact.OffsetS), offsetText(old.OffsetS))
	}
	list[at] = fact
	in.session.Facts.Recordings = list
}

func offsetText(offset float64) string { return strconv.FormatFloat(offset, 'f', -1, 64) }

// yamlRecording is a recording's facts in the order they are written.
type yamlRecording struct {
	File         string  `yaml:"file"`
	Device       string  `yaml:"device,omitempty"`
	Mount        string  `yaml:"mount,omitempty"`
	OffsetS      seconds `yaml:"offset_s"`
	SourceSha256 string  `yaml:"source_sha256,omitempty"`
	SourceFormat string  `yaml:"source_format,omitempty"`
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
	text, err := os.ReadFile(filepath.Join(a.dir, filepath.FromSlash(path)))
	if errors.Is(err, fs.ErrNotExist) {
		text, err = newSession(in)
	}
	if err != nil {
		return usage("", "%v", err)
	}
	list := make([]yamlRecording, len(in.session.Facts.Recordings))
	for i, r := range in.session.Facts.Recordings {
		if !units.Known(r.OffsetS) {
			r.OffsetS = 0
		}
		list[i] = yamlRecording{r.File, r.Device, r.Mount, seconds(r.OffsetS), r.SourceSha256, r.SourceFormat}
	}
	block, err := yaml.MarshalWithOptions(map[string]any{"recordings": list}, yaml.IndentSequence(true))
	if err != nil {
		return usage("", "cannot write the recordings: %v", err)
	}
	in.files[path] = yamltext.SetKey(text, "recordings", block)
	a.proposeBlocks(in)
	return nil
}

// newSession is the beginning of a session.yaml.
func newSession(in *intake) ([]byte, error) {
	if in.session.Facts.Date == "" {
		return nil, fmt.Errorf("the recording has no date: write %s/session.yaml with date and effort first", in.session.Folder())
	}
	facts := yaml.MapSlice{{Key: "date", Value: in.session.Facts.Date}, {Key: "start", Value: in.session.Facts.Start}, {Key: "effort", Value: in.session.Facts.Effort}}
	if in.session.Facts.Target != "" {
		facts = append(facts, yaml.MapItem{Key: "target", Value: in.session.Facts.Target})
	}
	return yaml.Marshal(facts)
}

// proposeBlocks writes blocks.csv from the laps unless it has rows already.
func (a *app) proposeBlocks(in *intake) {
	path := in.session.Folder() + "/blocks.csv"
	if len(in.session.Blocks) > 0 {
		if len(in.laps) > 0 {
			a.say("%s has blocks already; the laps were not looked at", path)
		}
		return
	}
	blocks := recording.ProposeBlocks(in.laps, in.session)
	target, _ := trial.ParseTarget(in.session.Effort(), in.session.Facts.Target)
	in.files[path] = plaintext.AppendBlocks(nil, in.session.Effort(), target, blocks)
	if len(blocks) == 0 {
		a.say("no laps to propose blocks from: write the rows of %s yourself", path)
		return
	}
	a.say("proposed %s from %s; write the shoe of each into %s, then `soletrial check`", plural(len(blocks), "block", "blocks"), plural(len(in.laps), "lap", "laps"), path)
}

// rememberMap writes a column map given on the command line into dataset.yaml,
// for the device it was given for.
func (a *app) rememberMap(in *intake, files int) error {
	if len(in.columns) == 0 {
		return nil
	}
	if files != 1 {
		return usage("import the files one by one", "--map with %d files", files)
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
		return usage("", "cannot write the column map: %v", err)
	}
	text, err := os.ReadFile(filepath.Join(a.dir, "dataset.yaml"))
	if err != nil {
		return usage("", "cannot read dataset.yaml: %v", err)
	}
	in.files["dataset.yaml"] = yamltext.SetKey(text, "imports", block)
	return nil
}
