package cli

import (
	"maps"
	"slices"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
)

func (a *app) tidyCommand() *cobra.Command {
	var look bool
	c := &cobra.Command{
		Use: "tidy", Args: cobra.NoArgs,
		Short: "write every table of the dataset in canonical form",
		Long: "tidy rewrites the CSV files of the dataset in canonical form: fixed column\norder and decimals, LF " +
			"line ends, registers by id, blocks by time. YAML files\nonly lose carriage returns and trailing " +
			"blanks. Writing again changes nothing.",
		RunE: func(*cobra.Command, []string) error { return a.tidy(look) },
	}
	c.Flags().BoolVar(&look, "dry-run", false, "only list what would change; exit 1 if anything would")
	return c
}

func (a *app) tidy(look bool) error {
	folder, err := a.read()
	if err != nil {
		return err
	}
	files, problems := folder.Tidy()
	if len(problems) > 0 {
		return voice.Unreadable(problems)
	}
	if look {
		if a.JSON {
			if err := a.PrintJSON(map[string]any{"untidy": append([]string{},
				slices.Sorted(maps.Keys(files))...)}); err != nil {
				return err
			}
		} else {
			for _, path := range slices.Sorted(maps.Keys(files)) {
				a.Printf("%s\n", path)
			}
		}
		if len(files) > 0 {
			return voice.Stopped("run "+a.NextCommand("tidy"), "%d files are not in canonical form", len(files))
		}
		return nil
	}
	changed, err := a.write(files)
	if err != nil {
		return err
	}
	return a.PrintWritten(changed, "every file is in canonical form already")
}
