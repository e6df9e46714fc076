// Command vulnerable asks govulncheck whether this program calls anything that
// the Go vulnerability database knows a hole in. It fails on a finding. Where the
// database cannot be reached it says so and passes: a machine without a way out
// cannot know more, and a check that is always red is soon not looked at.
//
//	go run ./scripts/vulnerable
//
// -db names another database, such as a copy on disk (file:///...).
// SOLETRIAL_VULNERABLE=required makes an unreachable database a failure.
package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"time"
)

// tool is pinned like any other dependency; it is run, and part of nothing.
const tool = "golang.org/x/vuln/cmd/govulncheck@v1.9.0"

// patience is how long fetching and running the tool may take.
const patience = 5 * time.Minute

func main() {
	db := flag.String("db", "https://vuln.go.dev", "the `address` of the vulnerability database")
	flag.Parse()
	verdict, out := ask(".", *db, "./...")
	fmt.Print(out)
	switch {
	case verdict == clean:
		return
	case verdict == unknown && os.Getenv("SOLETRIAL_VULNERABLE") != "required":
		fmt.Println("vulnerable: NOT CHECKED: the vulnerability database or the tool cannot be reached from here; nothing is known, either way")
		return
	}
	fmt.Fprintln(os.Stderr, "vulnerable: "+string(verdict))
	os.Exit(1)
}

// verdict is what a run came to.
type verdict string

// The verdicts.
const (
	clean   verdict = "nothing known against what is called"
	found   verdict = "a known hole is called, see above: update the module or the toolchain, or stop calling it"
	unknown verdict = "could not ask"
	broken  verdict = "govulncheck failed, see above"
)

// ask runs the tool over packages of a module.
func ask(dir, db, packages string) (verdict, string) {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	command := exec.CommandContext(ctx, "go", "run", tool, "-db", db, packages)
	command.Dir = dir
	var out bytes.Buffer
	command.Stdout, command.Stderr = &out, &out
	err := command.Run()
	if ctx.Err() != nil {
		return unknown, out.String()
	}
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		return broken, err.Error() + "\n"
	}
	return judge(err == nil, out.String()), out.String()
}

// Traces in the tool's output. `go run` turns every failure into its own exit
// code 1 and tells the tool's as "exit status 3", the one for findings
// (govulncheck's documentation, "Exit codes").
var (
	findings    = regexp.MustCompile(`(?m)^exit status 3$`)
	unreachable = regexp.MustCompile(`(?m)fetching vulnerabilities: |no such host|connection refused|network is unreachable|i/o timeout|proxyconnect|TLS handshake timeout`)
)

// judge reads the outcome of a run.
func judge(fine bool, out string) verdict {
	switch {
	case fine:
		return clean
	case findings.MatchString(out):
		return found
	case unreachable.MatchString(out):
		return unknown
	}
	return broken
}
