package main

import (
	"fmt"
	"slices"
	"strings"
)

const module = "soletrial/"

// mayImport is the map of the house: each package and what of this module it may
// import. A package that is not listed may not exist.
var mayImport = map[string][]string{
	"pipeline/units":              {},
	"pipeline/checksum":           {},
	"pipeline/crew":               {},
	"pipeline/exact":              {},
	"pipeline/trial":              {"pipeline/units"},
	"pipeline/plaintext":          {"pipeline/trial", "pipeline/units", "pipeline/checksum", "pipeline/crew"},
	"pipeline/plaintext/yamltext": {"pipeline/plaintext", "pipeline/trial", "pipeline/units"},
	"pipeline/plaintext/schema":   {"pipeline/plaintext", "pipeline/trial", "pipeline/units"},
	"pipeline/recording":          {"pipeline/trial", "pipeline/units"},
	"pipeline/recording/fittest":  {"pipeline/trial", "pipeline/units"},
	"pipeline/stats":              {},
	"pipeline/align":              {"pipeline/trial", "pipeline/units", "pipeline/stats"},
	"pipeline/recording/segment":  {"pipeline/trial", "pipeline/units", "pipeline/stats"},
	"pipeline/steady":             {"pipeline/trial", "pipeline/units", "pipeline/stats"},
	"pipeline/conditions":         {"pipeline/units", "pipeline/stats"},
	"pipeline/sensor":             {"pipeline/trial", "pipeline/units", "pipeline/stats", "pipeline/steady"},
	"pipeline/quality":            {"pipeline/trial", "pipeline/units", "pipeline/stats", "pipeline/steady", "pipeline/sensor", "pipeline/conditions"},
	"pipeline/randomise":          {"pipeline/trial", "pipeline/units", "pipeline/stats"},
	"pipeline/compare":            {"pipeline/trial", "pipeline/units", "pipeline/stats", "pipeline/randomise", "pipeline/checksum", "pipeline/crew"},
	"pipeline/plan":               {"pipeline/trial", "pipeline/units", "pipeline/stats", "pipeline/randomise"},
	"pipeline/forecast":           {"pipeline/trial", "pipeline/units", "pipeline/stats"},
	"pipeline/derive":             {"pipeline/trial", "pipeline/units", "pipeline/plaintext", "pipeline/steady", "pipeline/quality", "pipeline/sensor", "pipeline/compare", "pipeline/forecast", "pipeline/crew"},
	"pipeline/recommend":          {"pipeline/trial", "pipeline/units", "pipeline/compare", "pipeline/forecast", "pipeline/derive"},
	"pipeline/pool":               {"pipeline/trial", "pipeline/units", "pipeline/stats", "pipeline/checksum"},
	"pipeline/datapackage":        {"pipeline/trial", "pipeline/checksum"},
	"pipeline/archive":            {},
	"pipeline/figure":             {"pipeline/trial", "pipeline/units", "pipeline/steady", "pipeline/compare", "pipeline/forecast", "pipeline/derive"},
	"pipeline/site":               {"pipeline/trial", "pipeline/units", "pipeline/steady", "pipeline/quality", "pipeline/sensor", "pipeline/conditions", "pipeline/compare", "pipeline/forecast", "pipeline/derive", "pipeline/figure", "pipeline/recommend", "pipeline/plaintext", "pipeline/checksum", "pipeline/datapackage", "pipeline/archive"},
	"viewer":                      {"viewer/*", "pipeline/*"},
	"viewer/*":                    {"viewer/*", "pipeline/*"},
	"cmd/*":                       {"cmd/*", "pipeline/*", "viewer/bundle"},
	"scripts/*":                   {"pipeline/*", "viewer/*", "scripts/*"},
}

func arrows() ([]string, error) {
	packages, err := everywhere()
	if err != nil {
		return nil, err
	}
	var broken []string
	for _, p := range packages {
		from := strings.TrimPrefix(p.ImportPath, module)
		allowed, known := permissions(from)
		if !known {
			broken = append(broken, from+": not on the map of packages in scripts/rules/imports.go")
			continue
		}
		for _, path := range p.Imports {
			if to, ours := strings.CutPrefix(path, module); ours && !slices.ContainsFunc(allowed, func(a string) bool { return matches(a, to) }) {
				broken = append(broken, fmt.Sprintf("%s imports %s, against the arrows", from, to))
			}
		}
	}
	return broken, nil
}

// everywhere lists the module's packages as built natively and for the browser.
func everywhere() ([]pkg, error) {
	native, err := list(nil, "./...")
	if err != nil {
		return nil, err
	}
	browser, err := list([]string{"GOOS=js", "GOARCH=wasm"}, "-e", "./viewer/...")
	return append(native, browser...), err
}

func permissions(from string) (allowed []string, known bool) {
	if allowed, known = mayImport[from]; known {
		return allowed, true
	}
	for pattern, list := range mayImport { // patterns do not overlap
		if strings.HasSuffix(pattern, "*") && matches(pattern, from) {
			return list, true
		}
	}
	return nil, false
}

func matches(pattern, path string) bool {
	if stem, wild := strings.CutSuffix(pattern, "*"); wild {
		return strings.HasPrefix(path, stem)
	}
	return pattern == path
}

// impure lists the packages that may touch more than their arguments.
var impure = []string{"pipeline/plaintext/yamltext", "pipeline/plaintext/schema", "pipeline/site", "pipeline/recording/fittest"}

// outside is what a pure package may not import itself.
var outside = []string{"os", "os/*", "net", "net/*", "syscall", "syscall/*", "math/rand", "crypto/rand", "html/template", "text/template", "runtime", "runtime/*", "unsafe", "log", "log/*", "path/filepath", "plugin"}

func purity() ([]string, error) {
	packages, err := list(nil, "./pipeline/...")
	if err != nil {
		return nil, err
	}
	var broken []string
	for _, p := range packages {
		from := strings.TrimPrefix(p.ImportPath, module)
		if slices.Contains(impure, from) {
			continue
		}
		for _, path := range p.Imports {
			if slices.ContainsFunc(outside, func(o string) bool { return matches(o, path) }) {
				broken = append(broken, fmt.Sprintf("%s imports %s, but is pure", from, path))
			}
		}
	}
	return broken, nil
}

// heavy is what the explorer may not link, directly or through others.
var heavy = []string{"net/http", "html/template", "text/template", "github.com/goccy/*", "github.com/spf13/*", "github.com/invopop/*", "github.com/muktihari/*", "gonum.org/*", "github.com/chromedp/*"}

// networks is what the converter may not link, so that nothing in it could send a
// reader's recording anywhere.
var networks = []string{"net", "net/*", "soletrial/viewer/fetch", "soletrial/viewer/dom"}

// viewerLinks holds the browser's programs to what they may link.
func viewerLinks() ([]string, error) {
	var broken []string
	for _, program := range []struct {
		name, path string
		banned     []string
	}{{"the explorer", "./viewer", heavy}, {"the converter", "./viewer/convert/worker", networks}} {
		packages, err := list([]string{"GOOS=js", "GOARCH=wasm"}, "-deps", program.path)
		if err != nil {
			return nil, err
		}
		for _, p := range packages {
			if slices.ContainsFunc(program.banned, func(h string) bool { return matches(h, p.ImportPath) }) {
				broken = append(broken, program.name+" links "+p.ImportPath)
			}
		}
	}
	return broken, nil
}
