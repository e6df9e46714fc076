// Command licences writes down the licences of everything that this repository
// depends on: the list of all dependencies, and the notices that go
// with the programs and with the explorer. It fails on a licence that it does not
// know or that is not allowed where the dependency is used.
//
//	go run ./scripts/licences           writes cmd/internal/notices
//	go run ./scripts/licences -check    fails when those files are not up to date
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

// folder holds the generated files, which the program embeds.
const folder = "cmd/internal/notices"

func main() {
	check := flag.Bool("check", false, "write nothing; fail when a file is not up to date")
	flag.Parse()
	if err := run(folder, *check); err != nil {
		fmt.Fprintln(os.Stderr, "licences:", err)
		os.Exit(1)
	}
}

func run(folder string, check bool) error {
	list, err := dependencies()
	if err != nil {
		return err
	}
	if err := checkLicences(list); err != nil {
		return err
	}
	checkers, err := npmPackages("scripts/checkers/package-lock.json")
	if err != nil {
		return err
	}

	// Write or compare what is generated.
	files := map[string][]byte{
		"DEPENDENCIES.md": table(list, checkers),
		"program.txt":     notices("The program soletrial holds the software below besides its own.", list, program),
		"export.txt": notices("The program soletrial-export holds the software below besides soletrial's own.", list,
			export),
		"explorer.txt": notices("The explorer of this site holds the software below besides soletrial's own.", list,
			explorer),
	}
	for name, text := range files {
		if err := update(filepath.Join(folder, name), text, check); err != nil {
			return err
		}
	}
	fmt.Printf("%d modules and %d npm packages, every licence known and allowed\n", len(list), len(checkers))
	return nil
}

// update writes a generated file; with check it only compares.
func update(path string, text []byte, check bool) error {
	old, err := os.ReadFile(path)
	switch {
	case err == nil && bytes.Equal(old, text):
		return nil
	case check:
		return fmt.Errorf("%s is not up to date: run make licences", path)
	}
	return os.WriteFile(path, text, 0o644)
}
