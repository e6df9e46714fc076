package cli

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// importOptions are the flags of import.
type importOptions struct {
	session string
	devices []string
	columns map[string]string
	effort  string
	target  string
	part    int
	zone    string
	date    string
	force   bool
	look    bool // --dry-run
	fitPlan bool
}

func (a *app) importCommand() *cobra.Command {
	var o importOptions
	c := &cobra.Command{
		Use: "import -s SESSION FILE...", Args: cobra.MinimumNArgs(1),
		Short: "bring recordings (FIT, GPX, CSV) into a session",
		Long: "import reads recordings, converts their units, leaves positions and personal\nfields behind, and writes them into the session in canonical form. For a new\n" +
			"session it proposes blocks from the laps; you fill in the shoes. Where nobody\npressed laps, blocks are proposed from changes of effort.",
		RunE: func(_ *cobra.Command, files []string) error { return a.importFiles(o, files) },
	}
	f := c.Flags()
	f.StringVarP(&o.session, "session", "s", "", "the `session`, such as 2026-05-02-power")
	f.StringArrayVar(&o.devices, "device", nil, "a `name` for the device, such as footpod; once for each FILE, in their order")
	f.StringToStringVar(&o.columns, "map", nil, "which column of a CSV holds which channel, such as `power_w=COLUMN`; remembered for the device")
	f.StringVar(&o.effort, "effort", defaultEffort, "what a new session held: power, pace or heart_rate")
	f.StringVar(&o.target, "target", "", "the `target` of a new session: watts, m:ss per km, or bpm")
	f.IntVar(&o.part, "part", 0, "which session of a FIT file that holds several, from 1; by default the running one with the most samples")
	f.StringVar(&o.zone, "zone", "", "local time where it was run, as an `offset` from UTC such as +02:00; by default what the file says")
	f.StringVar(&o.date, "date", "", "the `day` of a new session, YYYY-MM-DD, where neither a recording nor the session's name tells it")
	f.BoolVar(&o.force, "force", false, "replace a recording that is there already, or take one that is doubtful")
	f.BoolVar(&o.fitPlan, "fit-plan", false, "write the shoe of every proposed block that can only be one block of plan.yaml")
	f.BoolVar(&o.look, "dry-run", false, "show what would be read and how, and write nothing")
	c.MarkFlagRequired("session")
	return c
}

// intake is one import as it comes together, before anything is written.
type intake struct {
	importOptions
	folder  *plaintext.Folder
	session trial.Session
	files   map[string][]byte         // to write, relative to the dataset
	taken   map[string]*trial.Samples // by file of this import
	laps    []trial.Lap               // of the first file that has any, on the session's clock
	samples *trial.Samples            // of the longest file that tells effort, on the session's clock
	pauses  []trial.Pause             // of the same file and clock
	local   *time.Location            // --zone
	began   time.Time                 // when a new session begins
	zone    *time.Location            // its local time, nil when no file tells
	reports []importJSON
	planned bool // the session was described before it was run, and its clock is not set
}

// defaultEffort is what a new session held unless --effort says otherwise.
const defaultEffort = string(trial.Power)

var slug = regexp.MustCompile(`^[a-z0-9][a-z0-9._-]*$`)

// nameable reports whether every system can keep a session or a device of that
// name.
func nameable(name string) bool { return slug.MatchString(name) && plaintext.Portable(name) }

func (a *app) importFiles(o importOptions, files []string) error {
	in, err := a.newIntake(o, files)
	if err != nil {
		return err
	}
	for i, file := range files {
		if err := a.take(in, file, in.device(i)); err != nil {
			return err
		}
	}
	if err := a.rememberMap(in, len(files)); err != nil {
		return err
	}
	if err := a.describe(in); err != nil {
		return err
	}
	if o.look {
		return a.preview(in)
	}
	changed, err := a.write(in.files)
	if err != nil {
		return err
	}
	if a.JSON {
		return a.PrintJSON(map[string]any{"recordings": in.reports, "written": append([]string{}, changed...)})
	}
	for _, path := range changed {
		a.Printf("%s\n", path)
	}
	if len(changed) == 0 {
		a.Remark("nothing changed: the session holds this recording already")
	}
	return nil
}

func (a *app) newIntake(o importOptions, files []string) (*intake, error) {
	if !nameable(o.session) {
		return nil, voice.Usage("small letters, digits, dots, dashes and underscores make a session's name; aux, con and the like are taken by Windows", "%q cannot name a session", o.session)
	}
	if len(o.devices) > 0 && len(o.devices) != len(files) {
		return nil, voice.Usage("give --device once for each FILE, in their order", "%s for %s", units.Count(len(o.devices), "device"), units.Count(len(files), "file"))
	}
	for i, d := range o.devices {
		if !nameable(d) || d == "blocks" {
			return nil, voice.Usage("use a short word such as footpod or watch", "%q cannot name a device", d)
		}
		if slices.Contains(o.devices[:i], d) {
			return nil, voice.Usage("name every FILE's device differently", "--device %q stands twice: one recording would replace the other", d)
		}
	}
	if err := checkDay(o.date); err != nil {
		return nil, err
	}
	folder, err := a.readFor(o.session, o.recordings(len(files)))
	if err != nil {
		return nil, err
	}
	in := &intake{importOptions: o, folder: folder, files: map[string][]byte{}, taken: map[string]*trial.Samples{}}
	if in.local, err = parseZone(o.zone); err != nil {
		return nil, err
	}
	if s := folder.Dataset.Session(o.session); s != nil {
		in.session = *s
		in.planned = s.Plan != nil && s.Facts.Start == "" && len(s.Facts.Recordings) == 0
		if o.target != "" || o.effort != string(s.Effort()) && o.effort != defaultEffort {
			a.Remark("the session is there already: --effort and --target were not looked at; change session.yaml by hand")
		}
		if o.date != "" && o.date != s.Facts.Date {
			a.Remark("the session is there already, of %s: --date was not looked at; change session.yaml by hand", s.Facts.Date)
		}
	} else {
		in.session = trial.Session{ID: o.session, Facts: trial.SessionFacts{Effort: o.effort, Target: o.target}}
		if err := o.checkEffort(); err != nil {
			return nil, err
		}
	}
	if o.fitPlan && in.session.Plan == nil {
		return nil, voice.Usage("write the shoes into blocks.csv by hand, and plan the next session with `soletrial plan`", "--fit-plan: session %q has no plan.yaml", o.session)
	}
	return in, nil
}

// checkEffort refuses what a session.yaml may not say.
func (o *importOptions) checkEffort() error {
	if !slices.Contains(trial.Efforts, trial.Effort(o.effort)) {
		return voice.Usage("write power, pace or heart_rate", "--effort: %q is not known", o.effort)
	}
	target, err := trial.ParseTarget(trial.Effort(o.effort), o.target)
	if err != nil {
		return voice.Usage("watts for power, m:ss per km for pace, beats per minute for heart_rate", "--target: %v", err)
	}
	if target <= 0 {
		return voice.Usage("write a number above 0", "--target: %s is out of range", o.target)
	}
	return nil
}

// recordings are the names of the files that the import writes.
func (o *importOptions) recordings(files int) []string {
	names := make([]string, files)
	for i := range names {
		names[i] = o.device(i) + ".csv"
	}
	return names
}

// device names the i-th file's device.
func (o *importOptions) device(i int) string {
	switch {
	case len(o.devices) > 0:
		return o.devices[i]
	case i == 0:
		return "recording"
	}
	return fmt.Sprintf("recording-%d", i+1)
}

// mapFor returns the column map of a device: what the dataset remembers,
// overruled by what the command line says.
func (in *intake) mapFor(device string) map[string]string {
	columns := map[string]string{}
	for _, m := range in.folder.Dataset.Facts.Imports {
		if m.Device == device {
			maps.Copy(columns, m.Columns)
		}
	}
	maps.Copy(columns, in.columns)
	return columns
}

// take reads one file and adds its recording to the session.
func (a *app) take(in *intake, file, device string) error {
	src, err := readRecording(file, recording.MaxBytes)
	if err != nil {
		return err
	}
	got, err := recording.Read(filepath.Base(file), src, recording.Options{Columns: in.columns, Remembered: in.mapFor(device), Part: in.part, Zone: in.local})
	if err != nil {
		return asFailure(err)
	}
	if err := a.checkWhole(in, file, got); err != nil {
		return err
	}
	a.report(in, got, device)
	path := in.session.Folder() + "/" + device + ".csv"
	text := plaintext.AppendSamples(nil, got.Samples)
	if err := a.guard(path, text, in.force || in.look); err != nil {
		return err
	}
	in.files[path] = text
	sum := sha256.Sum256(src)
	fact := trial.RecordingFact{File: device + ".csv", Device: device, OffsetS: in.offset(got), SourceSha256: hex.EncodeToString(sum[:]), SourceFormat: got.Format}
	if err := a.checkTogether(in, fact, got); err != nil {
		return err
	}
	in.taken[fact.File] = got.Samples
	in.keepForBlocks(got, a.add(in, fact, !got.Start.IsZero()))
	return nil
}

func asFailure(err error) error {
	var e *recording.Error
	if !errors.As(err, &e) {
		return voice.Usage("", "%v", err)
	}
	at := trial.Position{File: e.File, Line: e.Line, Column: e.Column}
	return &voice.Failure{Code: voice.ExitUsage, Message: "nothing was imported", Problems: []trial.Problem{{At: at, Message: e.Message, Hint: e.Hint}}}
}

// guard refuses to replace other bytes without --force.
func (a *app) guard(path string, text []byte, force bool) error {
	old, err := os.ReadFile(filepath.Join(a.Dataset, filepath.FromSlash(path)))
	switch {
	case errors.Is(err, fs.ErrNotExist), err == nil && bytes.Equal(old, text), err == nil && force:
		return nil
	case err != nil:
		return voice.Usage("", "cannot read %q: %v", path, err)
	}
	return voice.Usage("name another device with --device, or replace it with --force", "%q is there already and holds something else", path)
}
