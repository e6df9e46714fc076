// Command viewer builds the browser programs into viewer/bundle/dist, from where
// they are embedded: the explorer, and the converter that it fetches when a reader
// brings a recording in another form. Run it in the repository's root:
//
//	go run ./scripts/viewer
//
// The same sources give the same bytes. It prints what each file weighs and
// fails when a program is heavier than its budget.
package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const dist = "viewer/bundle/dist"

// programs are what is built. The budgets are in bytes of the packed program: a
// phone on a slow line waits a few seconds for the explorer, not more, and less
// for the converter, which it fetches while somebody looks on.
var programs = []program{{"./viewer", "soletrial.wasm.gz", 1_300_000}, {"./viewer/convert/worker", "convert.wasm.gz", 1_000_000}}

type program struct {
	source, name string
	budget       int
}

// mark in a static file stands for a hash of all built files.
const mark = "@VERSION@"

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "viewer:", err)
		os.Exit(1)
	}
}

func run() error {
	files, err := statics()
	if err != nil {
		return err
	}
	for _, p := range programs {
		packed, err := p.build()
		if err != nil {
			return err
		}
		files = append(files, file{p.name, packed})
	}
	if err := write(stamped(files)); err != nil {
		return err
	}
	for _, f := range files {
		fmt.Printf("%-18s %8d bytes\n", f.name, len(f.text))
	}
	return weigh(files)
}

// weigh compares the programs with their budgets.
func weigh(files []file) error {
	for _, p := range programs {
		for _, f := range files {
			if f.name != p.name {
				continue
			}
			fmt.Printf("budget             %8d bytes for %s, %d %% used\n", p.budget, p.name, 100*len(f.text)/p.budget)
			if len(f.text) > p.budget {
				return fmt.Errorf("%s has %d bytes, more than its budget of %d: build %s for js/wasm without -s and add up its name section by package to see what weighs", p.name, len(f.text), p.budget, p.source)
			}
		}
	}
	return nil
}

type file struct {
	name string
	text []byte
}

// build compiles a program for js/wasm without paths, ids or tables for debuggers,
// without inlining, which makes the packed program a tenth smaller (but for the
// loops over all samples, where it saves half the time), joins its data segments,
// which makes it another tenth smaller, blanks the tables that only tell places of
// a crash, and packs it.
func (p program) build() ([]byte, error) {
	folder, err := os.MkdirTemp("", "viewer")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	output := filepath.Join(folder, "program.wasm")
	command := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-gcflags=all=-l", "-gcflags=soletrial/pipeline/steady=", "-ldflags=-s -w -buildid=", "-o", output, p.source)
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "CGO_ENABLED=0", "GOFLAGS=")
	command.Stderr = os.Stderr
	if err := command.Run(); err != nil {
		return nil, fmt.Errorf("building %s: %w", p.source, err)
	}
	module, err := os.ReadFile(output)
	if err != nil {
		return nil, err
	}
	joined, err := joinSegments(module, blankLines)
	if err != nil {
		return nil, err
	}
	return p.pack(joined), nil
}

// pack compresses a program, which takes seconds, unless dist has it already.
func (p program) pack(program []byte) []byte {
	packed, err := os.ReadFile(filepath.Join(dist, p.name))
	if err == nil {
		if reader, err := gzip.NewReader(bytes.NewReader(packed)); err == nil {
			if same, err := io.ReadAll(reader); err == nil && bytes.Equal(same, program) {
				return packed
			}
		}
	}
	return gzipped(program)
}

// statics reads the files that need no building: ours and the toolchain's glue.
func statics() ([]file, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("asking for GOROOT: %w", err)
	}
	var files []file
	for _, from := range []string{"viewer/web/boot.js", "viewer/web/convert.js", "viewer/web/explorer.css", "viewer/web/sw.js", filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js")} {
		text, err := os.ReadFile(from)
		if err != nil {
			return nil, fmt.Errorf("run this in the repository's root: %w", err)
		}
		files = append(files, file{filepath.Base(from), text})
	}
	return files, nil
}

// stamped puts a hash of all files where a file has the mark, so that a changed
// viewer gets a cache of its own.
func stamped(files []file) []file {
	sum := sha256.New()
	for _, f := range files {
		fmt.Fprintf(sum, "%s %d\n", f.name, len(f.text))
		sum.Write(f.text)
	}
	version := fmt.Sprintf("%x", sum.Sum(nil)[:8])
	for i := range files {
		files[i].text = bytes.ReplaceAll(files[i].text, []byte(mark), []byte(version))
	}
	return files
}

func write(files []file) error {
	if err := os.MkdirAll(dist, 0o755); err != nil {
		return err
	}
	for _, f := range files {
		path := filepath.Join(dist, f.name)
		if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, f.text) {
			continue // untouched, so that the embedding package is not built again
		}
		if err := os.WriteFile(path, f.text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
