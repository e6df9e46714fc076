package cli

import (
	"io/fs"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/units"
)

func (a *app) tidyCommand() *cobra.Command {
	var dryRun bool
	c := &cobra.Command{
		Use: "tidy", Args: cobra.NoArgs,
		Short: "write every table of the dataset in canonical form",
		Long: "tidy rewrites the CSV files of the dataset in canonical form: fixed column order and\n" +
			"decimals, LF line ends, registers by id, blocks by time. It repairs what\n" +
			"spreadsheets leave: semicolons, decimal commas and byte order marks. It also repairs\n" +
			"what people leave: blank lines, spaces around cells, and units (214 g, 440 yd). It\n" +
			"says what it changes. A second run changes nothing.",
		Example: "  soletrial tidy\n" +
			"  soletrial tidy --dry-run",
		RunE: func(*cobra.Command, []string) error {
			if dryRun {
				return a.tidy(true)
			}
			return a.exclusively("tidy", func() error { return a.tidy(false) })
		},
	}
	c.Flags().BoolVar(&dryRun, "dry-run", false, "only list what would change; exit 1 if anything would")
	return c
}

func (a *app) tidy(dryRun bool) error {
	fsys, err := a.openDataset()
	if err != nil {
		return err
	}
	// What strict reading has against the dataset tidy may mend; what it cannot mend it
	// reports itself.
	folder, _ := plaintext.Read(fsys, yamltext.Read)
	files, problems := folder.Tidy()
	if len(problems) > 0 {
		return voice.Unreadable(problems)
	}
	// What would change, and how.
	for _, path := range slices.Sorted(maps.Keys(files)) {
		old, err := fs.ReadFile(fsys, path)
		if err != nil {
			return voice.Usage("", "cannot read %q: %v", path, voice.Reason(err))
		}
		a.Remark("%s: %s", path, strings.Join(plaintext.Untidy(old, files[path]), "; "))
	}
	if dryRun {
		return a.listUntidy(slices.Sorted(maps.Keys(files)))
	}
	changed, err := a.write(files)
	if err != nil {
		return err
	}
	return a.PrintWritten(changed, "every file is in canonical form already")
}

// listUntidy prints the files that a dry run found.
func (a *app) listUntidy(paths []string) error {
	if a.JSON {
		if err := a.PrintJSON(map[string]any{"untidy": append([]string{}, paths...)}); err != nil {
			return err
		}
	} else {
		for _, path := range paths {
			a.Printf("%s\n", path)
		}
	}
	if len(paths) > 0 {
		return voice.Stopped("run "+a.NextCommand("tidy"), "%s not in canonical form",
			units.Plural(len(paths), "file is", "files are"))
	}
	return nil
}
