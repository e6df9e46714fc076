package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/schema"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// attributes keep line ends the same on every system and mark what is
// generated, so that reviews can fold it away. Registers to which two people added
// rows keep the rows of both; what derive writes is never merged, but derived again.
const attributes = `* text=auto eol=lf
runners.csv merge=union
shoes.csv merge=union
venues.csv merge=union
derived/** -merge linguist-generated
datapackage.json -merge linguist-generated
schemas/** linguist-generated
`

// ignored is what an interrupted run may leave until the next one.
const ignored = dataset.StagePrefix + "*\n"

func (a *app) initCommand() *cobra.Command {
	var r registers
	var o automation
	c := &cobra.Command{
		Use: "init DIR", Args: cobra.ExactArgs(1),
		Short: "start a dataset in a new or empty folder",
		Long: "init writes a dataset that already passes check: every default written out, and\n" +
			"registers to fill. JSON Schemas let an editor complete the YAML. On a terminal init\n" +
			"asks for the runner, the shoes and the venue; you can give every answer as a flag too.\n" +
			"With --ci it also writes a workflow, which checks the dataset and publishes its site.",
		Example: "  soletrial init mytrial\n" +
			"  soletrial init mytrial --shoe blue:Blue:214 --shoe grey:Grey:230 --venue 'oval:Town oval:track:400'\n" +
			"  soletrial init mytrial --ci github",
		RunE: func(_ *cobra.Command, args []string) error { return a.init(args[0], r, o) },
	}
	f := c.Flags()
	f.StringVar(&r.runner, "runner", "", "the runner, as `ID:NAME`; a pseudonym will do")
	f.StringArrayVar(&r.shoes, "shoe", nil, "a shoe, as `ID:LABEL:GRAMS` of one shoe; once for each")
	f.StringVar(&r.venue, "venue", "", "the venue, as `ID:LABEL:KIND:LAP`, such as oval:Town oval:track:400")
	f.StringVar(&o.host, "ci", "none", "also write a workflow for this `host`: github or none")
	f.StringVar(&o.archive, "release", "", "the `address` of the program's archive for linux_amd64, for the workflow")
	f.StringVar(&o.sha256, "release-sha256", "", "the SHA-256 of that archive, as a `sum` of 64 digits")
	return c
}

func (a *app) init(dir string, r registers, o automation) error {
	if err := o.check(); err != nil {
		return err
	}
	// Nothing that is there may be written over.
	files := startingFiles()
	if err := checkUnused(dir, files); err != nil {
		return err
	}
	if err := a.addCompanions(dir, files, o); err != nil {
		return err
	}
	// Ask on a terminal, and write what strict reading accepts.
	if r.runner == "" && r.venue == "" && len(r.shoes) == 0 && a.interactive() {
		a.askRegisters(&r)
	}
	if err := r.write(files); err != nil {
		return err
	}
	if err := readBack(nil, files); err != nil {
		return err
	}
	changed, err := a.writeNew(dir, files)
	if err != nil {
		return err
	}
	if slices.Contains(changed, hookPath) {
		if err := allowHook(dir); err != nil {
			return err
		}
	}
	// Say what was written, and what comes next.
	for i, path := range changed {
		changed[i] = filepath.ToSlash(filepath.Join(dir, path))
	}
	err = a.PrintWritten(changed, "nothing to write")
	if err == nil {
		a.remarkAutomation(dir, o)
		if len(r.shoes) == 0 {
			a.Remark("fill in runners.csv, shoes.csv and venues.csv, then `soletrial import -d %s -s SESSION FILE`",
				dir)
		} else {
			a.Remark("next: `soletrial import -d %s -s SESSION --shoes A,B,B,A FILE`", dir)
		}
	}
	return err
}

// checkUnused refuses a folder that has something under the name of one of the files.
func checkUnused(dir string, files map[string][]byte) error {
	entries, err := dataset.List(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return voice.Usage("init takes a folder", "cannot use %q: %v", dir, voice.Reason(err))
	}
	for _, e := range entries {
		for path := range files {
			if top, _, _ := cutPath(path); top == e.Name() {
				return voice.Usage("choose a new or empty folder", "%q already has %q", dir, e.Name())
			}
		}
	}
	return nil
}

// writeNew writes a dataset into a folder where no other one was started meanwhile.
func (a *app) writeNew(dir string, files map[string][]byte) (changed []string, err error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, voice.Usage("", "cannot make the folder %q: %v", dir, voice.Reason(err))
	}
	release, err := dataset.Lock(dir, "init", a.sayWaiting(dir))
	if err != nil {
		return nil, err
	}
	defer release()
	if err := checkUnused(dir, files); err != nil {
		return nil, err
	}
	return dataset.Write(dir, files, nil)
}

func cutPath(path string) (top, rest string, nested bool) {
	dir, file := filepath.Split(path)
	if dir == "" {
		return path, "", false
	}
	return filepath.Clean(dir), file, true
}

func startingFiles() map[string][]byte {
	m := units.Missing
	files := map[string][]byte{
		"dataset.yaml": yamltext.DatasetTemplate(),
		"runners.csv": plaintext.AppendRunners(nil,
			[]trial.Runner{{ID: "me", Label: "me", MassKg: m, HeightCm: m, LegLengthCm: m}}),
		"shoes.csv":      plaintext.AppendShoes(nil, nil),
		"venues.csv":     plaintext.AppendVenues(nil, nil),
		".gitattributes": []byte(attributes),
		".gitignore":     []byte(ignored),
	}
	for name, text := range schema.Files() {
		files["schemas/"+name] = text
	}
	return files
}
