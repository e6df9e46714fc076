package main_test

import (
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"soletrial/cmd/internal/cli"
	"soletrial/cmd/internal/export"
)

var update = flag.Bool("update", false, "write what the program prints now into the scripts' expected files")

// scriptFolder holds the scripts, one story each; the first word of a file's
// name is its category.
const scriptFolder = "testdata/script"

// TestMain lets the test binary stand in for the programs: under the name
// soletrial or soletrial-export it is that program, and under soletrial-into it is
// soletrial with its standard output in a file, for scripts that read on while it
// runs.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"soletrial":        func() { os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
		"soletrial-export": func() { os.Exit(export.Main(os.Args[1:], os.Stdout, os.Stderr)) },
		"soletrial-into":   func() { os.Exit(intoFile(os.Args[1], os.Args[2:])) },
	})
}

func intoFile(path string, args []string) int {
	file, err := os.Create(path)
	if err != nil {
		io.WriteString(os.Stderr, err.Error())
		return 3
	}
	defer file.Close()
	return cli.Main(args, os.Stdin, file, os.Stderr)
}

func TestScripts(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{ // it fails by itself when the folder holds no script
		Dir:                 scriptFolder,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       *update,
		Setup: func(env *testscript.Env) error {
			env.Values[stageKey{}] = &stage{repository: root, work: env.WorkDir}
			env.Setenv("RECORDINGS", filepath.Join(root, sharedRecordings))
			env.Setenv("DAYS", filepath.Join(root, "pipeline/recording/testdata/days"))
			for name, text := range awkward {
				env.Setenv(name, text)
			}
			return nil
		},
		Condition: func(name string) (bool, error) { return condition(root, name) },
		Cmds:      scriptCommands,
	})
}

// awkward characters that a script cannot show: an escape that would colour the
// terminal, the mark that turns the direction of writing, a line feed, a space of no width.
var awkward = map[string]string{"ESC": "\x1b[31m", "TURN": "\u202e", "FEED": "\n", "HIDDEN": "\u200b"}
