// Command vulnerable asks govulncheck whether this program calls anything that
// the Go vulnerability database knows a vulnerability in. The database is a Go module, so
// that whoever can fetch what the program is built from can ask.
//
// A version of it is pinned like any other dependency, and a vulnerability that this one
// knows fails: the same commit gets the same answer tomorrow. Then the newest is
// asked: what it knows more is reported, and fails only where that is required. So does
// a vulnerability in the library of an older Go than go.mod names. Where nothing can be
// fetched the command says so and passes: a machine without a way out cannot know,
// and a check that is always red is soon ignored.
//
//	go run ./scripts/vulnerable
//
// -db names another database, such as a folder of OSV reports (file:///...).
// SOLETRIAL_VULNERABLE=required makes all that is told a failure.
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
	"strings"
	"time"
)

// tool is pinned like any other dependency; it is run, and part of nothing.
const tool = "golang.org/x/vuln/cmd/govulncheck@v1.9.0"

// timeout is how long fetching the database, or fetching and running the tool,
// may take.
const timeout = 5 * time.Minute

func main() {
	db := flag.String("db", "", "the `address` of a vulnerability database, in the place of the newest module "+reports)
	flag.Parse()
	if err := run(".", *db, os.Getenv("SOLETRIAL_VULNERABLE") == "required"); err != nil {
		fmt.Fprintln(os.Stderr, "vulnerable:", err)
		os.Exit(1)
	}
}

// run asks about the module in a folder, tells, and fails where what is told must
// not be passed over.
func run(dir, db string, required bool) error {
	if db != "" {
		return check(dir, database{address: db, description: db}, required)
	}
	pin, err := fetch(reports, pinned, minReports)
	if err != nil {
		return warn(fmt.Errorf("%w: %w", errUnknown, err), required)
	}
	if err := check(dir, pin, required); err != nil {
		return err
	}
	newest, err := fetch(reports, "latest", minReports)
	more, err := newer(pin, newest, err)
	if err != nil {
		return warn(fmt.Errorf("what became known after that: %w: %w", errUnknown, err), required)
	}
	if !more {
		return nil
	}
	if err := check(dir, newest, required); err != nil {
		return warn(fmt.Errorf("newly known: %w", err), required)
	}
	return nil
}

// newer reports whether what was fetched as the newest database is another than the
// pinned one, or why that is not known.
func newer(pin, newest database, err error) (bool, error) {
	if err == nil && newest.proxy != "" {
		err = errors.New("only the module cache can be reached")
	}
	return err == nil && newest.description != pin.description, err
}

// check asks the tool with one database, and fails on a vulnerability, unless it is one of
// the Go at hand where go.mod names a newer.
func check(dir string, db database, required bool) error {
	fmt.Println("vulnerable: asking " + db.description)
	answer, err := ask(dir, db, "./...")
	switch {
	case errors.Is(err, errUnknown):
		return warn(err, required)
	case err != nil:
		return err
	}
	fmt.Print(answer.text())
	if len(answer.vulnerabilities) == 0 {
		return nil
	}
	held := heldBack(answer.toolchain, named(dir))
	err = errors.New(
		"a known vulnerability is called: update the module or the toolchain (go.mod), or stop calling it" + held,
	)
	if held != "" && answer.inGoAlone() {
		return warn(err, required)
	}
	return err
}

// warn says what is not quite in order, and fails only where that is required.
func warn(why error, required bool) error {
	if required {
		return why
	}
	fmt.Printf("vulnerable: NOT CHECKED OR NOT CLEAN: %v\n", why)
	return nil
}

// errUnknown tells that the tool could not be had, or that no database worth the
// name answered.
var errUnknown = errors.New("could not ask, so nothing is known, either way")

// exited matches what `go run` says of a program that failed, as against one that it
// could not fetch; buildFailed what it says of one that it could not build.
var (
	exited      = regexp.MustCompile(`(?m)^exit status \d+$`)
	buildFailed = regexp.MustCompile(`(?m)^# `)
)

// ask runs the tool over packages of the module in a folder. The error wraps
// errUnknown when there is no answer and nothing is wrong with what was asked.
func ask(dir string, db database, packages string) (answer, error) {
	ctx, cancel := context.WithTimeout(context.Background(), timeout)
	defer cancel()
	command := exec.CommandContext(ctx, "go", "run", tool, "-format", "json", "-db", db.address, packages)
	command.Dir, command.WaitDelay = dir, time.Second
	if db.proxy != "" { // the tool comes from there, too
		command.Env = append(os.Environ(), db.proxy)
	}
	var out, trouble bytes.Buffer
	command.Stdout, command.Stderr = &out, &trouble
	err := command.Run()
	stderr := strings.TrimSpace(trouble.String())
	switch {
	case ctx.Err() != nil:
		return answer{}, fmt.Errorf("%w: no answer within %v\n%s", errUnknown, timeout, stderr)
	case err != nil && !exited.MatchString(stderr) && !buildFailed.MatchString(stderr):
		return answer{}, fmt.Errorf("%w: %s: %w\n%s", errUnknown, tool, err, stderr)
	case err != nil:
		return answer{}, fmt.Errorf("govulncheck failed: %w\n%s", err, stderr)
	}
	return parse(&out)
}
