package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/report"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/units"
)

func (a *app) importCommand() *cobra.Command {
	o := intake.Options{NextCommand: a.NextCommand}
	c := &cobra.Command{
		Use: "import -s SESSION FILE[=SHOE]...", Args: cobra.MinimumNArgs(1),
		Short: "bring recordings (FIT, GPX, CSV) into a session",
		Long: "import reads recordings, converts their units and writes them into the session in\n" +
			"canonical form. It leaves out positions and personal data. It finds the blocks by\n" +
			"effort: the warm-up, rests and the run home are not blocks. Laps from the lap button\n" +
			"tell where a block starts and ends. Several files of one device become one recording.\n" +
			"Files in .gz and .zip are opened. A session folder that the explorer saved is imported\n" +
			"with its blocks and shoes.",
		Example: "  soletrial import -s 2026-05-02-power --target 268 --shoes fennock,quenby,quenby,fennock " +
			"morning.fit\n" +
			"  soletrial import -s 2026-05-02-power --target 268 --dry-run morning.fit\n" +
			"  soletrial import -s 2026-05-02-power --new-shoe red:Red:214 --shoes red,quenby,quenby,red morning.fit",
		RunE: func(_ *cobra.Command, files []string) error { return a.importFiles(o, files) },
	}
	f := c.Flags()
	f.StringVarP(&o.Session, "session", "s", "", "the `session`, such as 2026-05-02-power")
	f.StringArrayVar(&o.Devices, "device", nil,
		"a `name` for the device, such as foot_sensor; once for each FILE, in their order")
	f.StringToStringVar(&o.Columns, "map", nil,
		"which column of a CSV is which channel, such as `power_w=COLUMN`; remembered for the device")
	f.Lookup("map").DefValue = "" // none, of which help is silent
	f.StringSliceVar(&o.Shoes, "shoes", nil,
		"the `shoe` of every block in the order of the run, such as blue,grey,grey,blue")
	f.StringArrayVar(&o.NewShoes, "new-shoe", nil, "add a shoe to shoes.csv: `ID:LABEL:GRAMS`, such as red:Red:214")
	f.BoolVar(&o.NoLaps, "ignore-laps", false, "find the blocks by effort alone")
	f.StringVar(&o.Effort, "effort", "",
		"what was held in a new session: power, pace or heart_rate; by default guessed from its blocks")
	f.StringVar(&o.Target, "target", "",
		"the `target` of a new session, such as 268, 4:02/km, 6:30/mi or 154; by default guessed from its blocks")
	f.IntVar(&o.Part, "part", 0,
		"which session of a FIT file with several, from 1; by default the running one with the most samples")
	f.StringVar(&o.Zone, "zone", "",
		"local time where it was run, as an `offset` from UTC such as +02:00; by default what the file says")
	f.StringVar(&o.Date, "date", "",
		"the `day` of a new session, YYYY-MM-DD, where neither a recording nor the session's name has it")
	f.BoolVar(&o.Force, "force", false, "replace an existing recording, or accept a doubtful one")
	f.BoolVar(&o.MatchPlan, "match-plan", false,
		"write the shoe of every block that matches exactly one block of plan.yaml")
	f.BoolVar(&o.DryRun, "dry-run", false, "show what would be read and how, and write nothing")
	c.MarkFlagRequired("session")
	return c
}

func (a *app) importFiles(o intake.Options, files []string) error {
	if len(o.Shoes) > 0 && !o.DryRun && !a.JSON && a.interactive() {
		if err := a.askShoes(&o, files); err != nil {
			return err
		}
	}
	// A dry run only reads.
	var in *intake.Import
	var changed []string
	once := func() (err error) {
		in, changed, err = a.importOnce(o, files)
		return err
	}
	err := error(nil)
	if o.DryRun {
		err = once()
	} else {
		err = a.exclusively("import", once)
	}
	if in == nil {
		return err
	}
	// Say what was read even if it ends in a failure.
	if !a.JSON {
		for i := range in.Reports {
			a.printReport(&in.Reports[i])
		}
		report.PrintBlocks(&a.Console, in.Blocks, in.Evidence, in.Found.Channel)
	}
	for _, remark := range in.Remarks {
		a.Remark("%s", remark)
	}
	switch {
	case err != nil:
		return err
	case o.DryRun:
		return a.previewImport(a.folder, in)
	case a.JSON:
		return a.PrintJSON(map[string]any{"recordings": in.Reports, "written": append([]string{}, changed...)})
	}
	for _, path := range changed {
		a.Printf("%s\n", path)
	}
	if len(changed) == 0 {
		a.Remark("nothing changed: the session already has this recording")
	}
	return nil
}

// askShoes asks for the shoe of every block where others were named than were found.
func (a *app) askShoes(o *intake.Options, files []string) error {
	fsys, err := a.openDataset()
	if err != nil {
		return err
	}
	in, err := intake.Read(fsys, *o, files)
	if err == nil || len(in.Blocks) == 0 {
		return nil // what else is wrong is said when it is read again
	}
	report.PrintBlocks(&a.Console, in.Blocks, in.Evidence, in.Found.Channel)
	answer := a.ask("%s, but %s. The shoe of every block in this list, separated by commas?",
		units.Plural(len(o.Shoes), "shoe was named", "shoes were named"),
		units.Plural(len(in.Blocks), "block was found", "blocks were found"))
	if answer != "" {
		o.Shoes = strings.Split(strings.ReplaceAll(answer, " ", ""), ",")
	}
	return nil
}

// importOnce reads the recordings into the dataset as it stands, and writes what comes
// of it unless it is a dry run.
func (a *app) importOnce(o intake.Options, files []string) (in *intake.Import, changed []string, err error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, nil, err
	}
	in, err = intake.Read(fsys, o, files)
	if err != nil || o.DryRun {
		return in, nil, err
	}
	if changed, err = a.write(in.Files); err != nil {
		err = nameSources(err, in)
	}
	return in, changed, err
}

func (a *app) printReport(r *intake.Report) {
	const layout = "2006-01-02 15:04:05"
	got := r.Recording
	// The recording as a whole.
	start := "no start time"
	if !got.Local.IsZero() {
		start = "from " + got.Local.Format(layout) + " local time"
	}
	if !got.Start.IsZero() {
		start = "from " + got.Start.Format(layout+" MST")
	}
	samples := fmt.Sprintf("%d samples", r.Samples)
	if r.Samples == 0 {
		samples = "no samples"
	}
	a.Printf("%s: %s, %s, %s, %s long, %s\n",
		r.Device, r.Format, samples, start, units.FormatClock(r.LengthS), units.Count(r.Laps, "lap"))
	if got.Zone != nil && !got.Start.IsZero() {
		a.Printf("  local start     %s\n", got.Start.In(got.Zone).Format("15:04:05Z07:00"))
	}
	if r.Pauses > 0 {
		a.Printf("  timer stopped   %s, %.0f s in all\n", units.Count(r.Pauses, "time"), r.PausedS)
	}
	// What came of its columns.
	for _, s := range r.Columns {
		conversion := ""
		if s.Conversion != "" {
			conversion = ", " + s.Conversion
		}
		a.Printf("  %-15s %d values from %s%s\n", s.Column, s.Values, s.From, conversion)
	}
	for _, d := range r.Dropped {
		a.Printf("  not imported: %s\n", strings.TrimSuffix(d, "."))
	}
	for _, row := range r.FirstRows {
		a.Printf("  | %s\n", row)
	}
}

// previewImport ends a dry run: it lists the files that would be written.
func (a *app) previewImport(fsys fs.FS, in *intake.Import) error {
	type fileJSON struct {
		Path   string `json:"path"`
		Change string `json:"change"`
	}
	files := []fileJSON{}
	for _, path := range slices.Sorted(maps.Keys(in.Files)) {
		change, err := changeOf(fsys, path, in.Files[path])
		if err != nil {
			return err
		}
		files = append(files, fileJSON{path, change})
	}
	if a.JSON {
		return a.PrintJSON(map[string]any{"recordings": in.Reports, "would_write": files})
	}
	for _, f := range files {
		a.Printf("would write %s: %s\n", f.Path, f.Change)
	}
	a.Remark("nothing was written: this was a dry run")
	return nil
}

// changeOf says what writing a file would do.
func changeOf(fsys fs.FS, path string, text []byte) (string, error) {
	old, err := fs.ReadFile(fsys, path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "new", nil
	case err != nil:
		return "", voice.Usage("", "cannot read %q: %v", path, voice.Reason(err))
	case bytes.Equal(old, text):
		return "no change", nil
	case strings.HasSuffix(path, ".csv") && !strings.HasSuffix(path, "/blocks.csv"):
		return "has other content: replacing it needs --force", nil
	}
	return "changed", nil
}
