// Command vulnerable asks govulncheck whether this program calls anything that
// the Go vulnerability database knows a hole in. The database is a Go module, so
// that whoever can fetch what the program is built from can ask: the newest one is
// fetched, and where that cannot be done the newest of the module cache is asked.
// A finding fails. Where there is neither, or the tool cannot be had, the command
// says so and passes: a machine without a way out cannot know more, and a check
// that is always red is soon not looked at.
//
//	go run ./scripts/vulnerable
//
// -db names another database, such as a folder of OSV reports (file:///...).
// SOLETRIAL_VULNERABLE=required makes it a failure when the newest cannot be asked.
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

// patience is how long fetching the database, or fetching and running the tool,
// may take.
const patience = 5 * time.Minute

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
	source := database{address: db, told: db}
	if db == "" {
		var err error
		if source, err = fetch(reports, fewest); err != nil {
			return notChecked(fmt.Errorf("%w: %w", errUnknown, err), required)
		}
	}
	fmt.Println("vulnerable: asking " + source.told)
	answer, err := ask(dir, source, "./...")
	switch {
	case errors.Is(err, errUnknown):
		return notChecked(err, required)
	case err != nil:
		return err
	}
	fmt.Print(answer.text())
	if len(answer.holes) > 0 {
		return errors.New("a known hole is called: update the module or the toolchain (go.mod), or stop calling it" + heldBack(answer.toolchain, named(dir)))
	}
	if source.proxy != "" {
		return notChecked(errors.New("the newest database cannot be fetched: what became known after this one was made is not known here"), required)
	}
	return nil
}

// notChecked tells why there is no answer to rely on, and fails only where one is
// required.
func notChecked(why error, required bool) error {
	if required {
		return why
	}
	fmt.Printf("vulnerable: NOT CHECKED: %v\n", why)
	return nil
}

// errUnknown tells that the tool could not be had, or that no database worth the
// name answered.
var errUnknown = errors.New("could not ask, so nothing is known, either way")

// ran matches what `go run` says of a program that failed, as against one that it
// could not fetch; uncompiled what it says of one that it could not build.
var (
	ran        = regexp.MustCompile(`(?m)^exit status \d+$`)
	uncompiled = regexp.MustCompile(`(?m)^# `)
)

// ask runs the tool over packages of the module in a folder. The error wraps
// errUnknown when there is no answer and nothing is wrong with what was asked.
func ask(dir string, db database, packages string) (answer, error) {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	command := exec.CommandContext(ctx, "go", "run", tool, "-format", "json", "-db", db.address, packages)
	command.Dir, command.WaitDelay = dir, time.Second
	if db.proxy != "" { // the tool comes from there, too
		command.Env = append(os.Environ(), db.proxy)
	}
	var out, trouble bytes.Buffer
	command.Stdout, command.Stderr = &out, &trouble
	err := command.Run()
	said := strings.TrimSpace(trouble.String())
	switch {
	case ctx.Err() != nil:
		return answer{}, fmt.Errorf("%w: no answer within %v\n%s", errUnknown, patience, said)
	case err != nil && !ran.MatchString(said) && !uncompiled.MatchString(said):
		return answer{}, fmt.Errorf("%w: %s: %w\n%s", errUnknown, tool, err, said)
	case err != nil:
		return answer{}, fmt.Errorf("govulncheck failed: %w\n%s", err, said)
	}
	return parse(&out)
}
