// Command rules checks the rules of the house, so that they are more than
// words: which package may import which, what pure packages may not touch, what
// the explorer may not link, which numbers may not be calculated how, how long a
// file and how wide a line may get, and that everything exported is documented.
//
//	go run ./scripts/rules          check
//	go run ./scripts/rules -write   put the map of packages into DEVELOPERS.md
//	go run ./scripts/rules -pure    print the pure packages, for go test
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
)

func main() {
	write := flag.Bool("write", false, "put the map of packages into "+guide)
	printPure := flag.Bool("pure", false, "print the pure packages")
	flag.Parse()
	switch {
	case *write:
		exitOn("map", writeMap())
	case *printPure:
		entries, err := readMap()
		exitOn("map", err)
		for _, path := range withTrait(entries, pure) {
			fmt.Println("./" + path)
		}
	default:
		check()
	}
}

// exitOn ends the program when a step of it failed.
func exitOn(step string, err error) {
	if err != nil {
		fmt.Fprintf(os.Stderr, "rules: %s: %v\n", step, err)
		os.Exit(1)
	}
}

// check runs every rule of the house and prints what is broken.
func check() {
	var broken []string
	for _, rule := range []struct {
		name  string
		check func() ([]string, error)
	}{
		{"top level", topLevel},
		{"imports one way", arrows},
		{"the map is shown", shownMap},
		{"names in the guide exist", namesExist},
		{"pure packages are pure", purity},
		{"program links little", programLinks},
		{"explorer links little", viewerLinks},
		{"sums are not fused", fused},
		{"everything exported is documented", documented},
		{"files stay small", small},
		{"lines fit", narrow},
		{"formatted, modules tidy", tidy},
	} {
		found, err := rule.check()
		exitOn(rule.name, err)
		fmt.Printf("%-34s %d broken\n", rule.name, len(found))
		broken = append(broken, found...)
	}
	// The details come last, where they are seen.
	for _, b := range broken {
		fmt.Println(b)
	}
	if len(broken) > 0 {
		os.Exit(1)
	}
}

// pkg is what `go list -json` says of a package.
type pkg struct {
	ImportPath string
	Dir        string
	GoFiles    []string
	Imports    []string
}

// list runs go list with extra environment and decodes its stream.
func list(env []string, args ...string) ([]pkg, error) {
	command := exec.Command("go", append([]string{"list", "-json=ImportPath,Dir,GoFiles,Imports"}, args...)...)
	command.Env = append(os.Environ(), env...)
	command.Stderr = os.Stderr
	out, err := command.Output()
	if err != nil {
		return nil, err
	}
	var packages []pkg
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p pkg
		if err := dec.Decode(&p); err == io.EOF {
			return packages, nil
		} else if err != nil {
			return nil, err
		}
		packages = append(packages, p)
	}
}

// topLevel compares the tracked top level with what it is meant to be.
func topLevel() ([]string, error) {
	out, err := exec.Command("git", "ls-files").Output()
	if err != nil {
		return nil, err
	}
	meant := []string{"pipeline", "viewer", "data", "cmd", "scripts", "go.mod", "go.sum", "README.md",
		"DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "Makefile"}
	var broken []string
	seen := map[string]bool{}
	for _, path := range strings.Fields(string(out)) {
		top, _, _ := strings.Cut(path, "/")
		if !seen[top] && !strings.HasPrefix(top, ".") && !slices.Contains(meant, top) {
			broken = append(broken, top+": not part of the top level")
		}
		seen[top] = true
	}
	for _, name := range meant {
		if !seen[name] {
			broken = append(broken, name+": missing from the top level")
		}
	}
	return broken, nil
}
