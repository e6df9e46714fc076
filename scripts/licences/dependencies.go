package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
)

// use says what a dependency ends up in.
type use int

// The uses, the most public last.
const (
	tests  use = iota
	export     // the program soletrial-export
	program
	explorer
)

// dependency is a module that some package of ours is built or tested with.
type dependency struct {
	path, version, dir string
	in                 map[use]bool
	files              []licenceFile
}

// licenceFile is a text in a module's folder that says what one may do with it.
type licenceFile struct {
	name    string
	text    []byte
	licence string // its SPDX identifier; "" for a notice
}

// graph is one way in which packages of ours are built.
type graph struct {
	use      use
	system   string // GOOS/GOARCH
	packages []string
}

// fonts is imported by tests alone, but pipeline/picture carries its fonts in compressed files.
const fonts = "github.com/go-fonts/dejavu/dejavusans"

// graphs are all that is shipped, for every system it is shipped for, and then
// everything else.
var graphs = []graph{
	{program, "linux/amd64", []string{"./cmd/soletrial", fonts}},
	{program, "darwin/arm64", []string{"./cmd/soletrial"}},
	{program, "windows/amd64", []string{"./cmd/soletrial"}},
	{export, "linux/amd64", []string{"./cmd/soletrial-export"}},
	{export, "darwin/arm64", []string{"./cmd/soletrial-export"}},
	{export, "windows/amd64", []string{"./cmd/soletrial-export"}},
	{explorer, "js/wasm", []string{"./viewer", "./viewer/convert/worker"}},
	{tests, "linux/amd64", []string{"-test", "./..."}},
	{tests, "js/wasm", []string{"-test", "./viewer/..."}},
}

// dependencies lists the modules by path, with Go itself, whose library and
// runtime are in everything, first.
func dependencies() ([]dependency, error) {
	found := map[string]*dependency{}
	for _, g := range graphs {
		if err := g.add(found); err != nil {
			return nil, err
		}
	}
	list := []dependency{{path: "the Go programming language", version: "as go.mod names it", dir: runtime.GOROOT(),
		in: map[use]bool{program: true, export: true, explorer: true, tests: true}}}
	for _, path := range slices.Sorted(maps.Keys(found)) {
		list = append(list, *found[path])
	}
	for i := range list {
		if err := list[i].readLicences(); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// add notes the modules of one graph. The explorer is inside the program, so what
// is in the one is in the other.
func (g graph) add(found map[string]*dependency) error {
	system, processor, _ := strings.Cut(g.system, "/")
	command := exec.Command("go", append([]string{"list", "-e", "-deps", "-json=Module"}, g.packages...)...)
	command.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+processor, "CGO_ENABLED=0")
	command.Stderr = os.Stderr
	out, err := command.Output()
	if err != nil {
		return fmt.Errorf("go list for %s: %w", g.system, err)
	}

	// One JSON object for each package.
	for stream := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			Module *struct {
				Path, Version, Dir string
				Main               bool
			}
		}
		if err := stream.Decode(&p); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
		m := p.Module
		if m == nil || m.Main {
			continue
		}
		if found[m.Path] == nil {
			found[m.Path] = &dependency{path: m.Path, version: m.Version, dir: m.Dir, in: map[use]bool{}}
		}
		found[m.Path].in[g.use] = true
		if g.use == explorer {
			found[m.Path].in[program] = true
		}
	}
}

// mostPublic is the most public use of a dependency.
func (d dependency) mostPublic() use { return slices.Max(slices.Collect(maps.Keys(d.in))) }

// licenceFileName matches names of files that say what one may do.
var licenceFileName = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents|third_party)`)

// readLicences reads what the module's folder says of its licence.
func (d *dependency) readLicences() error {
	entries, err := os.ReadDir(d.dir)
	if err != nil {
		return fmt.Errorf("%s: %w", d.path, err)
	}
	for _, entry := range entries {
		if !licenceFileName.MatchString(entry.Name()) || entry.IsDir() {
			continue
		}
		text, err := os.ReadFile(filepath.Join(d.dir, entry.Name()))
		if err != nil {
			return err
		}
		d.files = append(d.files, licenceFile{name: entry.Name(),
			text: bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), licence: identify(text)})
	}
	return nil
}

// npmPackage is what the page checkers are installed from, for tests only.
type npmPackage struct{ name, version, licence string }

// npmPackages reads the list that pins them. Their licences are what their
// authors put there.
func npmPackages(lock string) ([]npmPackage, error) {
	text, err := os.ReadFile(lock)
	if err != nil {
		return nil, err
	}
	var pinned struct {
		Packages map[string]struct{ Version, License string }
	}
	if err := json.Unmarshal(text, &pinned); err != nil {
		return nil, fmt.Errorf("%s: %w", lock, err)
	}
	var list []npmPackage
	for path, p := range pinned.Packages {
		if path == "" {
			continue // the list itself
		}
		if !slices.Contains(allowed[tests], p.License) {
			return nil, fmt.Errorf("%s: %s has the licence %q, which is not among what tests may use: %s", lock, path,
				p.License, strings.Join(allowed[tests], ", "))
		}
		list = append(list, npmPackage{path[strings.LastIndex(path, "node_modules/")+len("node_modules/"):], p.Version,
			p.License})
	}
	slices.SortFunc(list, func(a, b npmPackage) int {
		return cmp.Or(cmp.Compare(a.name, b.name), cmp.Compare(a.version, b.version))
	})
	return slices.Compact(list), nil
}
