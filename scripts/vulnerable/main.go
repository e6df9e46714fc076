// Command vulnerable asks govulncheck whether this program calls anything that
// the Go vulnerability database knows a hole in. The database is a Go module, so
// that whoever can fetch what the program is built from can ask.
//
// A version of it is pinned like any other dependency, and a hole that this one
// knows fails: the same commit gets the same answer tomorrow. Then the newest is
// asked: what it knows more is told, and fails only where that is required. So does
// a hole in the library of an older Go than go.mod names. Where nothing can be
// fetched the command says so and passes: a machine without a way out cannot know,
// and a check that is always red is soon not looked at.
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
	if db != "" {
		return put(dir, database{address: db, told: db}, required)
	}
	pin, err := fetch(reports, pinned, fewest)
	if err != nil {
		return noted(fmt.Errorf("%w: %w", errUnknown, err), required)
	}
	if err := put(dir, pin, required); err != nil {
		return err
	}
	newest, err := fetch(reports, "latest", fewest)
	more, err := newer(pin, newest, err)
	if err != nil {
		return noted(fmt.Errorf("what became known after that: %w: %w", errUnknown, err), required)
	}
	if !more {
		return nil
	}
	if err := put(dir, newest, required); err != nil {
		return noted(fmt.Errorf("newly known: %w", err), required)
	}
	return nil
}

// newer reports whether what was fetched as the newest database is another than the
// pinned one, or why that is not known.
func newer(pin, newest database, err error) (bool, error) {
	if err == nil && newest.proxy != "" {
		err = errors.New("only the module cache can be reached")
	}
	return err == nil && newest.told != pin.told, err
}

// put puts one database before the tool, and fails on a hole, unless it is one of
// the Go at hand where go.mod names a newer.
func put(dir string, db database, required bool) error {
	fmt.Println("vulnerable: asking " + db.told)
	answer, err := ask(dir, db, "./...")
	switch {
	case errors.Is(err, errUnknown):
		return noted(err, required)
	case err != nil:
		return err
	}
	fmt.Print(answer.text())
	if len(answer.holes) == 0 {
		return nil
	}
	held := heldBack(answer.toolchain, named(dir))
	err = errors.New("a known hole is called: update the module or the toolchain (go.mod), or stop calling it" + held)
	if held != "" && answer.inGoAlone() {
		return noted(err, required)
	}
	return err
}

// noted tells what is not quite in order, and fails only where that is required.
func noted(why error, required bool) error {
	if required {
		return why
	}
	fmt.Printf("vulnerable: NOT CHECKED OR NOT CLEAN: %v\n", why)
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
