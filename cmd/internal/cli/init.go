package cli

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/companions"
	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/intake"
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
	var r intake.Registers
	var o companions.Options
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
	f.StringVar(&r.Runner, "runner", "", "the runner, as `ID:NAME`; a pseudonym will do")
	f.StringArrayVar(&r.Shoes, "shoe", nil, "a shoe, as `ID:LABEL:GRAMS` of one shoe; once for each")
	f.StringVar(&r.Venue, "venue", "", "the venue, as `ID:LABEL:KIND:LAP`, such as oval:Town oval:track:400")
	f.StringVar(&o.Host, "ci", "none", "also write a workflow for this `host`: github or none")
	f.StringVar(&o.Archive, "release", "", "the `address` of the program's archive for linux_amd64, for the workflow")
	f.StringVar(&o.SHA256, "release-sha256", "", "the SHA-256 of that archive, as a `sum` of 64 digits")
	return c
}

func (a *app) init(dir string, r intake.Registers, o companions.Options) error {
	if err := o.Check(); err != nil {
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
	if r.Runner == "" && r.Venue == "" && len(r.Shoes) == 0 && a.interactive() {
		a.askRegisters(&r)
	}
	if err := r.Write(files); err != nil {
		return err
	}
	if err := readBack(nil, files); err != nil {
		return err
	}
	changed, err := a.writeNew(dir, files)
	if err != nil {
		return err
	}
	if slices.Contains(changed, companions.HookPath) {
		if err := companions.AllowHook(dir); err != nil {
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
		if len(r.Shoes) == 0 {
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
			if path == e.Name() || filepath.ToSlash(filepath.Dir(path)) == e.Name() {
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

// askRegisters asks for the runner, the shoes and the venue; an empty answer leaves one
// out.
func (a *app) askRegisters(r *intake.Registers) {
	r.Runner = a.askUntil("who runs, as ID:NAME (a pseudonym will do; press Enter alone for the id "+
		"me)?", func(answer string) error {
		_, err := intake.ParseRunner(answer)
		return err
	})
	for {
		shoe := a.askUntil("a shoe, as ID:LABEL:GRAMS such as blue:Blue:214 (press Enter alone when all are named)?",
			func(answer string) error { return r.Addable(answer) })
		if shoe == "" {
			break
		}
		r.Shoes = append(r.Shoes, shoe)
	}
	r.Venue = a.askUntil("where it is run, as ID:LABEL:KIND:LAP such as oval:Town oval:track:400 (press Enter alone "+
		"for none)?",
		func(answer string) error {
			_, err := intake.ParseVenue(answer)
			return err
		})
}

// addCompanions puts the companions among the files of a new dataset. One that is there
// already stays, for people start a repository with a README of their own.
func (a *app) addCompanions(dir string, files map[string][]byte, o companions.Options) error {
	extra, err := companions.Files(o)
	if err != nil {
		return err
	}
	for path, text := range extra {
		if dataset.Exists(filepath.Join(dir, filepath.FromSlash(path))) {
			a.Remark("%q is there already and stays as it is", path)
			continue
		}
		files[path] = text
	}
	return nil
}

// remarkAutomation says what is left to do before a hook runs and a workflow can.
func (a *app) remarkAutomation(dir string, o companions.Options) {
	if o.Host == "none" {
		return
	}
	if o.Archive == "" {
		a.Remark("write the address of a release and its SHA-256 into %q, under env", companions.WorkflowPath)
	}
	if inRepository(filepath.Dir(filepath.Clean(dir))) {
		a.Remark("the host reads workflows in the top folder of a repository only: move %q there, and in it "+
			"write the dataset's folder after -d", filepath.ToSlash(filepath.Join(dir, companions.WorkflowPath)))
	}
}

// inRepository reports whether a folder is in a git repository.
func inRepository(dir string) bool {
	at, err := filepath.Abs(dir)
	for err == nil {
		if dataset.Exists(filepath.Join(at, ".git")) {
			return true
		}
		if at == filepath.Dir(at) {
			break
		}
		at = filepath.Dir(at)
	}
	return false
}
