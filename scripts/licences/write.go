package main

import (
	"bytes"
	"fmt"
	"strings"
)

// useTexts are the uses in words.
var useTexts = map[use]string{explorer: "the explorer and the program", program: "the program",
	export: "soletrial-export", tests: "tests and scripts"}

// table lists all dependencies, for people.
func table(list []dependency, checkers []npmPackage) []byte {
	var b bytes.Buffer
	b.WriteString("# Dependencies and their licences\n\nWritten by `make licences`; `make rules` fails when it is " +
		"not up to date. The texts that go with what is shipped are in program.txt\n" +
		"(`soletrial version --licences` prints it), export.txt (`soletrial-export --licences`) and " +
		"explorer.txt (published beside the explorer).\n\n## " +
		"Modules\n\n| module | version | licence | in |\n|---|---|---|---|\n")
	var findings []string
	for _, d := range list {
		fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", d.path, d.version, d.licence(), useTexts[d.mostPublic()])
		for _, f := range d.files {
			if finding, known := d.review(f); known {
				findings = append(findings, fmt.Sprintf("- %s: %s: %s.", d.path, f.name, finding))
			}
		}
	}
	fmt.Fprintf(&b, "\nFurther files about rights in them that somebody has read:\n\n%s\n",
		strings.Join(findings, "\n"))
	b.WriteString("\n## npm packages that check pages and exported data in tests\n\nPinned in scripts/checkers; " +
		"the licences are what their authors state there.\n\n| package | version | licence |\n|---|---|---|\n")
	for _, p := range checkers {
		fmt.Fprintf(&b, "| %s | %s | %s |\n", p.name, p.version, p.licence)
	}
	return b.Bytes()
}

// rule separates texts.
var rule = strings.Repeat("-", 80)

// notices gathers the texts that go along with what is in something, equal texts
// once.
func notices(title string, list []dependency, in use) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s\nThe texts follow the list.\n\n", title)
	holders, order := map[string][]string{}, []string{}
	for _, d := range list {
		if !d.in[in] {
			continue
		}
		name := strings.TrimSpace(d.path + " " + d.version)
		fmt.Fprintf(&b, "%s: %s\n", name, d.licence())
		for _, f := range d.shipped() {
			text := strings.TrimRight(string(f.text), "\n") + "\n"
			if holders[text] == nil {
				order = append(order, text)
			}
			holders[text] = append(holders[text], d.path+" ("+f.name+")")
		}
	}
	for _, text := range order {
		fmt.Fprintf(&b, "\n%s\n%s\n%s\n\n%s", rule, strings.Join(holders[text], "\n"), rule, text)
	}
	return b.Bytes()
}
