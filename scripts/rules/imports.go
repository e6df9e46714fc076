package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// arrows holds the imports of every package against the map: what is not on it may
// not be imported, what is on it must be, and only from above.
func arrows() ([]string, error) {
	entries, err := readMap()
	if err != nil {
		return nil, err
	}
	imports, err := importsWithin()
	if err != nil {
		return nil, err
	}
	var broken []string
	say := func(format string, args ...any) { broken = append(broken, fmt.Sprintf(format, args...)) }
	// Every package of the map: what it imports, and what it may.
	above := map[string]bool{}
	for _, e := range entries {
		found, exists := imports[e.path]
		if !exists {
			say("%s: on the map in %s, but there is no such package", e.path, mapFile)
		}
		for _, to := range slices.Sorted(maps.Keys(found)) { // sorted for a stable report
			if !slices.Contains(e.imports, to) {
				say("%s imports %s, which the map does not allow", e.path, to)
			}
		}
		for _, to := range e.imports {
			if exists && !found[to] {
				say("%s: the map allows %s, which it does not import", e.path, to)
			}
			if !above[to] {
				say("%s: the map allows %s, which does not stand above it", e.path, to)
			}
		}
		above[e.path] = true
	}
	// Packages that are on no map.
	for _, path := range slices.Sorted(maps.Keys(imports)) {
		if !above[path] {
			say("%s: not on the map of packages in %s", path, mapFile)
		}
	}
	return broken, nil
}

// importsWithin returns what each package imports of this module, natively or in
// the browser, by path without the module.
func importsWithin() (map[string]map[string]bool, error) {
	packages, err := everywhere()
	if err != nil {
		return nil, err
	}
	imports := map[string]map[string]bool{}
	for _, p := range packages {
		from := strings.TrimPrefix(p.ImportPath, module)
		if imports[from] == nil {
			imports[from] = map[string]bool{}
		}
		for _, path := range p.Imports {
			if to, ours := strings.CutPrefix(path, module); ours {
				imports[from][to] = true
			}
		}
	}
	return imports, nil
}

// everywhere lists the module's packages as built natively and for the browser.
func everywhere() ([]pkg, error) {
	native, err := list(nil, "./...")
	if err != nil {
		return nil, err
	}
	browser, err := list(inBrowser, "-e", "./viewer/...")
	return append(native, browser...), err
}

// inBrowser is the environment that builds for the browser.
var inBrowser = []string{"GOOS=js", "GOARCH=wasm"}

// matches reports whether a path is the pattern, or starts with it up to its *.
func matches(pattern, path string) bool {
	if stem, wild := strings.CutSuffix(pattern, "*"); wild {
		return strings.HasPrefix(path, stem)
	}
	return pattern == path
}

// outside is what a pure package may not import itself.
var outside = []string{
	"os", "os/*", "net", "net/*", "syscall", "syscall/*", "math/rand", "crypto/rand", "html/template", "text/template",
	"runtime", "runtime/*", "unsafe", "log", "log/*", "path/filepath", "plugin",
}

// purity lists what packages that the map calls pure import from outside.
func purity() ([]string, error) {
	entries, err := readMap()
	if err != nil {
		return nil, err
	}
	packages, err := list(nil, "./...")
	if err != nil {
		return nil, err
	}
	isPure := withTrait(entries, pure)
	var broken []string
	for _, p := range packages {
		from := strings.TrimPrefix(p.ImportPath, module)
		if !slices.Contains(isPure, from) {
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
var heavy = []string{
	"net/http", "html/template", "text/template", "github.com/goccy/*", "github.com/spf13/*", "github.com/invopop/*",
	"github.com/muktihari/*", "gonum.org/*", "github.com/chromedp/*", "regexp", "encoding/json",
}

// networks is what the converter may not link, so that nothing in it could send a
// reader's recording anywhere.
var networks = []string{"net", "net/*", "soletrial/viewer/fetch", "soletrial/viewer/dom"}

// large is what the program may not link: html/template keeps every exported method of
// everything, the Parquet library is for soletrial-export, and the rest is for building and
// testing.
var large = []string{
	"html/template", "github.com/parquet-go/*", "github.com/invopop/*", "github.com/santhosh-tekuri/*",
	"github.com/chromedp/*", "github.com/makiuchi-d/*", "github.com/go-fonts/*", "gonum.org/*", "pgregory.net/*",
	"testing",
}

// programLinks holds the program to what it may link.
func programLinks() ([]string, error) {
	packages, err := list(nil, "-deps", "./cmd/soletrial")
	if err != nil {
		return nil, err
	}
	var broken []string
	for _, p := range packages {
		if slices.ContainsFunc(large, func(l string) bool { return matches(l, p.ImportPath) }) {
			broken = append(broken, "the program links "+p.ImportPath)
		}
	}
	return broken, nil
}

// viewerLinks holds the browser's programs to what they may link, and the map to
// what they do link.
func viewerLinks() ([]string, error) {
	entries, err := readMap()
	if err != nil {
		return nil, err
	}
	var broken []string
	for _, program := range []struct {
		trait, path string
		banned      []string
	}{{explorer, "./viewer", heavy}, {converter, "./viewer/convert/worker", networks}} {
		packages, err := list(inBrowser, "-deps", program.path)
		if err != nil {
			return nil, err
		}
		// What it links, and whether the map says so.
		linked := map[string]bool{}
		for _, p := range packages {
			linked[strings.TrimPrefix(p.ImportPath, module)] = true
			if slices.ContainsFunc(program.banned, func(h string) bool { return matches(h, p.ImportPath) }) {
				broken = append(broken, "the "+program.trait+" links "+p.ImportPath)
			}
		}
		for _, e := range entries {
			if e.has(program.trait) != linked[e.path] {
				broken = append(broken, fmt.Sprintf("%s: linked into the %s: %v; the map says %v",
					e.path, program.trait, linked[e.path], e.has(program.trait)))
			}
		}
	}
	return broken, nil
}
