// Package cli is the program: it reads arguments, touches the disk, and speaks.
//
// Its voice: results go to stdout, everything else to stderr with the prefix
// "soletrial:", lower case, user data quoted, and a line that says what to do.
// It computes first and writes last: on failure nothing has been written. Exit
// codes: 0 fine, 1 a stop finding or stale tables, 2 usage or unreadable input.
package cli

import (
	"errors"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/voice"
)

// Main runs the program and returns its exit code.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	collectLess(0)
	app := &app{Console: voice.Console{Out: stdout, Err: stderr}, in: stdin}
	root := app.root()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	cmd, err := root.ExecuteC()
	var f *voice.Failure
	switch {
	case err == nil:
		return voice.ExitOK
	case errors.As(err, &f):
		app.PrintFailure(f)
		return f.Code
	}
	app.JSON = app.JSON || slices.Contains(args, "--json") // flags after a wrong one are not read
	app.PrintFailure(voice.Misuse(cmd, err))
	return voice.ExitUsage
}

// Command is the program's commands, for what describes them: manual pages, completion, tests.
// To run the program call [Main].
func Command() *cobra.Command {
	root := (&app{}).root()
	root.InitDefaultHelpCmd()
	return root
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "soletrial",
		Short: "compare running shoes from a folder of plain text",
		Long: "soletrial compares running shoes from a folder of plain text (sessions, blocks,\n" +
			"recordings). It says which shoe to race in and how sure that is, and writes a site\n" +
			"that shows every number.",
		SilenceErrors: true, SilenceUsage: true, DisableSuggestions: true,
	}
	root.PersistentFlags().StringVarP(&a.Dataset, "dataset", "d", "",
		"the dataset's `folder`; by default the one that the current folder is in, else "+voice.DefaultDataset)
	root.PersistentFlags().BoolVar(&a.JSON, "json", false, "print JSON instead of text")
	root.AddCommand(a.initCommand(), a.tryCommand(), a.planCommand(), a.importCommand(), a.logCommand(),
		a.alignCommand(), a.tidyCommand(), a.renameCommand(), a.checkCommand(), a.explainCommand(), a.deriveCommand(),
		a.compareCommand(), a.forecastCommand(), a.summaryCommand(), a.picturesCommand(),
		a.publishCommand(), a.serveCommand(),
		a.poolCommand(), a.versionCommand())
	root.SetHelpCommand(a.helpCommand())
	addCompletion(root)
	a.addCompletions(root)
	return root
}
