package cli

import (
	"runtime"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/notices"
)

// Version is the program's version, as the changelog has it.
const Version = "0.1.0"

func (a *app) versionCommand() *cobra.Command {
	var licences bool
	c := &cobra.Command{
		Use: "version", Args: cobra.NoArgs,
		Short: "print the version",
		RunE: func(*cobra.Command, []string) error {
			switch {
			case licences && a.JSON:
				return a.PrintJSON(map[string]string{"licences": notices.Program})
			case licences:
				a.Printf("%s", notices.Program)
			case a.JSON:
				return a.PrintJSON(map[string]string{"version": Version, "go": runtime.Version()})
			default:
				a.Printf("soletrial %s\n", Version)
			}
			return nil
		},
	}
	c.Flags().BoolVar(&licences, "licences", false, "print the licences of the software of others that is inside")
	return c
}
