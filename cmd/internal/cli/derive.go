package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/units"
)

func (a *app) deriveCommand() *cobra.Command {
	var verify bool
	c := &cobra.Command{
		Use: "derive", Args: cobra.NoArgs,
		Short: "calculate the derived tables",
		Long: "derive cuts the blocks, runs the quality rules, compares the shoes, and writes\n" +
			"the tables into derived/. It also writes datapackage.json, which describes every\n" +
			"file to other programs. The same dataset gives the same bytes everywhere.",
		Example: "  soletrial derive\n" +
			"  soletrial derive --verify",
		RunE: func(*cobra.Command, []string) error {
			if verify {
				return a.verify()
			}
			return a.exclusively("derive", a.derive)
		},
	}
	c.Flags().BoolVar(&verify, "verify", false, "write nothing; exit 1 and show the difference when a file is stale")
	return c
}

func (a *app) derive() error {
	_, result, err := a.deriveUnchecked()
	if err != nil {
		return err
	}
	texts, err := datapackage.Describe(a.folder, result)
	if err != nil {
		return err
	}
	maps.Copy(texts, tableTexts(result.Tables))
	changed, err := a.write(texts)
	if err != nil {
		return err
	}
	return a.PrintWritten(changed, upToDate)
}

// tableTexts are the texts of derived tables by path in the dataset.
func tableTexts(tables []derive.Table) map[string][]byte {
	texts := make(map[string][]byte, len(tables))
	for _, t := range tables {
		texts[dataset.DerivedFolder+"/"+t.Name] = t.Text
	}
	return texts
}

const upToDate = "the derived tables are up to date"

// verify compares the tables on disk with what they should be.
func (a *app) verify() error {
	_, result, err := a.deriveUnchecked()
	if err != nil {
		return err
	}
	// Derived tables and the dataset's description, against what the inputs give now.
	stale, err := a.stale(result)
	if err != nil {
		return err
	}
	described, err := a.staleDescriptor(result)
	if err != nil {
		return err
	}
	stale = append(stale, described...)
	// A result for inputs that changed meanwhile says nothing.
	if err := a.folder.Unchanged(); err != nil {
		return err
	}
	if err := a.printStale(stale); err != nil {
		return err
	}
	// Line ends of another system make every file differ: that has a hint of its own.
	if len(stale) > 0 {
		hint := "run " + a.NextCommand("derive") + " and commit the result"
		if slices.ContainsFunc(stale, func(s staleTable) bool { return s.endings }) {
			hint = "git gave the files the line ends of another system: put the line `* text=auto eol=lf` into " +
				".gitattributes, then run " + a.NextCommand("tidy") + " and " + a.NextCommand("derive")
		}
		return voice.Stopped(hint, "%s stale", units.Plural(len(stale), "derived file is", "derived files are"))
	}
	a.Remark("the derived tables match the dataset")
	return nil
}

func (a *app) printStale(stale []staleTable) error {
	if a.JSON {
		names := []string{}
		for _, s := range stale {
			names = append(names, s.name)
		}
		return a.PrintJSON(map[string]any{"stale": names})
	}
	for _, s := range stale {
		if _, err := a.Out.Write(s.diff); err != nil {
			return err
		}
	}
	return nil
}

// staleTable is a table on disk that is not what the dataset gives.
type staleTable struct {
	name    string
	diff    []byte
	endings bool // it differs in the ends of lines only
}

func (a *app) stale(result *derive.Result) ([]staleTable, error) {
	fsys, err := a.openDataset()
	if err != nil {
		return nil, err
	}
	var stale []staleTable
	for i := range result.Tables {
		t := &result.Tables[i]
		found, err := compareFile(fsys, dataset.DerivedFolder+"/"+t.Name, t.Text)
		if err != nil {
			return nil, voice.Usage("",
				"cannot read %q: %v", filepath.Join(a.Dataset, dataset.DerivedFolder, t.Name), voice.Reason(err))
		}
		stale = append(stale, found...)
	}
	return stale, nil
}

// compareFile returns how a file on disk differs from what it should be, if it does.
func compareFile(fsys fs.FS, name string, wanted []byte) ([]staleTable, error) {
	if info, err := fs.Stat(fsys, name); err == nil && info.Size() > int64(2*len(wanted)+1<<20) {
		text := fmt.Appendf(nil, "%s on disk holds %d bytes, derived now %d\n", name, info.Size(), len(wanted))
		return []staleTable{{name, text, false}}, nil
	}
	old, err := fs.ReadFile(fsys, name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		old = nil
	case err != nil:
		return nil, err
	case bytes.Equal(old, wanted):
		return nil, nil
	}
	return []staleTable{compared(name, old, wanted)}, nil
}

// compared tells how a table on disk differs from what it should be: in which
// lines, or in all of them because each ends as lines do on Windows.
func compared(name string, old, now []byte) staleTable {
	if len(old) > 0 && bytes.Equal(bytes.ReplaceAll(old, []byte("\r\n"), []byte("\n")), now) {
		return staleTable{
			name, []byte(name + " on disk: the same except for line ends, CR LF instead of LF\n"), true,
		}
	}
	return staleTable{name, diff.Diff(name+" on disk", old, name+" derived now", now), false}
}

// staleDescriptor returns what of the description on disk does not say how the dataset is now: a
// datapackage.json that lacks files or has other hashes of them, and schemas that differ.
func (a *app) staleDescriptor(result *derive.Result) ([]staleTable, error) {
	texts, err := datapackage.Describe(a.folder, result)
	if err != nil {
		return nil, err
	}
	var stale []staleTable
	if wrong := datapackage.Stale(a.folder, result); len(wrong) > 0 {
		stale = append(stale, staleTable{datapackage.FileName, wrong, false})
	}
	delete(texts, datapackage.FileName)
	for _, path := range slices.Sorted(maps.Keys(texts)) {
		found, err := compareFile(a.folder, path, texts[path])
		if err != nil {
			return nil, err
		}
		stale = append(stale, found...)
	}
	return stale, nil
}
