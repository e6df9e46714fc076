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
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cache"
)

// Exit codes.
const (
	exitFine  = 0
	exitStop  = 1
	exitUsage = 2
)

// Main runs the program and returns its exit code.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	spareMemory(0)
	app := &app{out: stdout, err: stderr, program: programSum}
	root := app.root()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	cmd, err := root.ExecuteC()
	var f *failure
	switch {
	case err == nil:
		return exitFine
	case errors.As(err, &f):
		app.fail(f)
		return f.code
	}
	app.fail(misused(cmd, err))
	return exitUsage
}

// spareMemory lets garbage lie while there is little of it, which saves a tenth of
// the time, and has it taken away at once beyond a bound, which rises with the
// sessions: their results take room to the end. The usual variables of the runtime
// overrule it.
func spareMemory(sessions int) {
	const percent, bound, each = 400, 200 << 20, 25_000
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(percent)
		debug.SetMemoryLimit(max(bound, int64(sessions)*each))
	}
}

// defaultDataset is the folder that is meant when no other is named.
const defaultDataset = "data"

// app is one run of the program.
type app struct {
	out, err io.Writer
	dir      string   // the dataset
	reading  *watched // the dataset's folder since it was opened; nil before
	json     bool
	program  func(*cache.Cache) (cache.Sum, error)
	cache    string // the folder for what earlier runs came to, or "off"; "" for the usual one
	said     string // the failure that serve printed last
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:           "soletrial",
		Short:         "compare running shoes from a folder of plain text",
		Long:          "soletrial turns a folder of plain text (sessions, blocks, recordings) into\nhonest comparisons of running shoes and a site that shows every number.",
		SilenceErrors: true, SilenceUsage: true, DisableSuggestions: true,
	}
	root.PersistentFlags().StringVarP(&a.dir, "dataset", "d", defaultDataset, "the dataset's `folder`")
	root.PersistentFlags().StringVar(&a.cache, "cache", "", "remember results of sessions in this `folder`, or \"off\"; else $"+cacheVariable+", else in the user's cache")
	root.PersistentFlags().BoolVar(&a.json, "json", false, "print JSON instead of text")
	root.AddCommand(a.initCommand(), a.planCommand(), a.importCommand(), a.alignCommand(), a.tidyCommand(), a.checkCommand(), a.explainCommand(),
		a.deriveCommand(), a.compareCommand(), a.publishCommand(), a.serveCommand(), a.versionCommand())
	root.AddCommand(a.forecastCommand(), a.poolCommand())
	root.SetHelpCommand(a.helpCommand())
	addCompletion(root)
	return root
}
