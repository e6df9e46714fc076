package cli

import (
	"github.com/spf13/cobra"

	"soletrial/cmd/internal/notices"
)

// Version is the program's version, as the changelog has it.
const Version = "0.1.0"

func (a *app) versionCommand() *cobra.Command {
	var licences bool
	c := &cobra.Command{
		Use: "version", Args: cobra.NoArgs,
		Short: "print the version, and which program exactly this is",
		Long: "version prints the version and the beginning of the SHA-256 of this program's own\n" +
			"file. It also names the Go that built it, the system it is for, and the version of\n" +
			"the data format. A published site says the same in its footers and in program.json.",
		Example: "  soletrial version\n" +
			"  soletrial version --json\n" +
			"  soletrial version --licences",
		RunE: func(*cobra.Command, []string) error {
			// Licences or identity, for people or for programs.
			switch {
			case licences && a.JSON:
				return a.PrintJSON(map[string]any{"licences": notices.Program})
			case licences:
				a.Printf("%s", notices.Program)
			case a.JSON:
				return a.PrintJSON(thisProgram())
			default:
				a.printIdentity(thisProgram())
			}
			return nil
		},
	}
	c.Flags().BoolVar(&licences, "licences", false, "print the licences of the software by others inside it")
	return c
}

// shortSum is how many digits of a SHA-256 people are shown.
const shortSum = 12

func (a *app) printIdentity(id identity) {
	a.Printf("soletrial %s\n", id.Version)
	sum := "not known: the program cannot read its own file"
	if id.SHA256 != "" {
		sum = id.SHA256[:shortSum]
	}
	a.Printf("sha256       %s\n", sum)
	a.Printf("built with   %s for %s\n", id.Go, id.System)
	a.Printf("data format  %d\n", id.DataFormat)
	inside := "inside"
	if !id.Explorer {
		inside = "not inside: build with `make build`, or take a released program"
	}
	a.Printf("explorer     %s\n", inside)
}
