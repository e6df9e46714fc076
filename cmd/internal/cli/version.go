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
			case licences && a.json:
				return a.printJSON(map[string]string{"licences": notices.Program})
			case licences:
				a.printf("%s", notices.Program)
			case a.json:
				return a.printJSON(map[string]string{"version": Version, "go": runtime.Version()})
			default:
				a.printf("soletrial %s\n", Version)
			}
			return nil
		},
	}
	c.Flags().BoolVar(&licences, "licences", false, "print the licences of the software of others that is inside")
	return c
}
