package main_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli"
	"soletrial/pipeline/recording/fittest"
)

// TestExamplesRun runs every example of every command's help as it stands, each in a folder
// of its own with a copy of the demonstration, and wants it to end well. A command has two or
// three.
func TestExamplesRun(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the examples are lines for a shell")
	}
	program, err := os.Executable() // under the name soletrial it is the program, see TestMain
	if err != nil {
		t.Fatal(err)
	}
	demonstration := os.DirFS("../../data")
	visit(cli.Command(), func(c *cobra.Command) {
		lines := strings.Split(strings.Trim(c.Example, "\n"), "\n")
		if len(lines) < 2 || len(lines) > 3 {
			t.Errorf("%s has %d examples, want two or three", c.CommandPath(), len(lines))
		}
		for _, line := range lines {
			t.Run(strings.TrimSpace(line), func(t *testing.T) {
				t.Parallel()
				folder := t.TempDir()
				must(t, os.Mkdir(filepath.Join(folder, "bin"), 0o777))
				must(t, os.Symlink(program, filepath.Join(folder, "bin", "soletrial")))
				must(t, os.CopyFS(filepath.Join(folder, "data"), demonstration))
				prepareExample(t, folder, line)
				runExample(t, folder, line)
			})
		}
	})
}

// visit calls do for every command that a person can use.
func visit(c *cobra.Command, do func(*cobra.Command)) {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			do(sub)
			visit(sub, do)
		}
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// exampleNotes are what the track page hands out before the recording comes in.
const exampleNotes = `form: 1
session: 2026-05-09-power
began: 2026-05-09T09:00:00+02:00
plan:
  source: venue
  order: [fennock, quenby, quenby, fennock]
  effort: power
  target: 268
  block_s: 330
shoes:
  - shoe: fennock
  - shoe: quenby
conditions:
  wind_mps: 1.5
`

// prepareExample puts the files that an example names into its folder.
func prepareExample(t *testing.T, folder, line string) {
	t.Helper()
	at := func(name string) string { return filepath.Join(folder, name) }
	if strings.Contains(line, "morning.fit") {
		recording := fittest.Run(fittest.Spec{Blocks: 4, BlockS: 330, NativePower: true,
			Start: time.Date(2026, 5, 2, 7, 10, 0, 0, time.UTC)})
		must(t, os.WriteFile(at("morning.fit"), recording, 0o666))
	}
	if strings.Contains(line, " align ") { // a second device that recorded the same
		session := "data/sessions/2026-03-21-pace/"
		recording, err := os.ReadFile(at(session + "foot_sensor.csv"))
		must(t, err)
		facts, err := os.ReadFile(at(session + "session.yaml"))
		must(t, err)
		more := strings.Replace(string(facts), "recordings:\n",
			"recordings:\n  - {file: second.csv, device: second}\n", 1)
		must(t, os.WriteFile(at(session+"second.csv"), recording, 0o666))
		must(t, os.WriteFile(at(session+"session.yaml"), []byte(more), 0o666))
	}
	if strings.Contains(line, "fieldlog.yaml") {
		must(t, os.WriteFile(at("fieldlog.yaml"), []byte(exampleNotes), 0o666))
	}
	if strings.Contains(line, " ada ben") { // two datasets that differ by a session
		must(t, os.CopyFS(at("ada"), os.DirFS(at("data"))))
		must(t, os.CopyFS(at("ben"), os.DirFS(at("data"))))
		must(t, os.RemoveAll(at("ben/sessions/2026-04-25-power")))
		runExample(t, folder, "soletrial derive -d ben")
	}
}

// runExample runs a line in a shell. One that serves is interrupted once it says where.
func runExample(t *testing.T, folder, line string) {
	t.Helper()
	command := exec.Command("sh", "-c", "exec "+strings.TrimSpace(line))
	command.Dir = folder
	path := filepath.Join(folder, "bin") + string(os.PathListSeparator) + os.Getenv("PATH")
	command.Env = append(os.Environ(), "PATH="+path)
	var said bytes.Buffer
	command.Stderr = &said
	if !strings.Contains(line, "soletrial serve") {
		out, err := command.Output()
		if err != nil {
			t.Errorf("%v\n%s%s", err, out, said.String())
		}
		return
	}
	out, err := command.StdoutPipe()
	must(t, err)
	must(t, command.Start())
	first := make([]byte, len("http://"))
	if _, err := out.Read(first); err != nil || string(first) != "http://" {
		t.Errorf("serve says %q, %v\n%s", first, err, said.String())
	}
	must(t, command.Process.Signal(os.Interrupt))
	if err := command.Wait(); err != nil {
		t.Errorf("%v\n%s", err, said.String())
	}
}
