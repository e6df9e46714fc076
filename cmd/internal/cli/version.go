package cli

import (
	"runtime"

	"github.com/spf13/cobra"
)

// Version is the program's version, as the changelog has it.
const Version = "0.1.0"

func (a *app) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use: "version", Args: cobra.NoArgs,
		Short: "print the version",
		RunE: func(*cobra.Command, []string) error {
			if a.json {
				return a.printJSON(map[string]string{"version": Version, "go": runtime.Version()})
			}
			a.printf("soletrial %s\n", Version)
			return nil
		},
	}
}
