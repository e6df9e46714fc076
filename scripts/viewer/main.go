// Command viewer builds the browser programs into viewer/bundle/dist, from where
// they are embedded: the explorer, the converter that it fetches when a reader
// opens a recording in another form, and the track page. Run it in the repository's root:
//
//	go run ./scripts/viewer
//
// The same sources give the same bytes. It prints the size of each file and
// fails when a program is larger than its budget.
package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

const dist = "viewer/bundle/dist"

// programs are what is built. The budgets are bytes after compression: on a slow
// connection the explorer may take a few seconds to load, and the converter, which
// is fetched while the reader waits, less: 80 kB of it open .gz and .zip files.
var programs = []program{
	{source: "./viewer", name: "soletrial.wasm.gz", budget: 1_720_000},
	{source: "./viewer/convert/worker", name: "convert.wasm.gz", budget: 1_250_000},
	{source: "./viewer/track", name: "track/track.wasm.gz", budget: 1_200_000},
}

type program struct {
	source, name string
	budget       int
}

// versionMark in a static file stands for a hash of all built files.
const versionMark = "@VERSION@"

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "viewer:", err)
		os.Exit(1)
	}
}

func run() error {
	files, err := readStatic()
	if err != nil {
		return err
	}
	for _, p := range programs {
		compressed, err := p.build()
		if err != nil {
			return err
		}
		files = append(files, file{p.name, compressed})
	}
	if err := write(withVersion(files)); err != nil {
		return err
	}
	for _, f := range files {
		fmt.Printf("%-19s %8d bytes\n", f.name, len(f.text))
	}
	return checkBudgets(files)
}

// checkBudgets compares the size of the programs with their budgets.
func checkBudgets(files []file) error {
	for _, p := range programs {
		for _, f := range files {
			if f.name != p.name {
				continue
			}
			fmt.Printf("budget             %8d bytes for %s, %d %% used\n", p.budget, p.name, 100*len(f.text)/p.budget)
			if len(f.text) > p.budget {
				return fmt.Errorf("%s has %d bytes, more than its budget of %d: "+
					"build %s for js/wasm without -s and add up its name section by package to see what is large",
					p.name, len(f.text), p.budget, p.source)
			}
		}
	}
	return nil
}

type file struct {
	name string
	text []byte
}

// build compiles a program for js/wasm and compresses it.
func (p program) build() ([]byte, error) {
	folder, err := os.MkdirTemp("", "viewer")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	output := filepath.Join(folder, "program.wasm")
	// Paths, ids and tables for debuggers are left out. Inlining makes the compressed
	// program a tenth larger, so it is on only for the loops over all samples, where
	// it halves the time, and for the decision, which a moving control asks for at every frame.
	command := exec.Command("go", "build", "-trimpath", "-buildvcs=false",
		"-gcflags=all=-l", "-gcflags=./pipeline/steady=", "-gcflags=./pipeline/decide=",
		"-ldflags=-s -w -buildid=", "-o", output, p.source)
	command.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "CGO_ENABLED=0", "GOFLAGS=")
	command.Stderr = os.Stderr
	if err := command.Run(); err != nil {
		return nil, fmt.Errorf("building %s: %w", p.source, err)
	}
	module, err := os.ReadFile(output)
	if err != nil {
		return nil, err
	}
	joined, err := joinSegments(module)
	if err != nil {
		return nil, err
	}
	return compress(joined)
}

// compress returns content as gzip, without a name or a time.
func compress(content []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(content); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// readStatic reads the files that need no building: ours and the toolchain's glue.
func readStatic() ([]file, error) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("asking for GOROOT: %w", err)
	}
	glue := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js")
	paths := []string{"boot.js", "convert.js", "explorer.css", "sw.js", "track/boot.js", "track/sw.js",
		"track/track.css"}
	var files []file
	for _, path := range paths {
		text, err := os.ReadFile("viewer/web/" + path)
		if err != nil {
			return nil, fmt.Errorf("run this in the repository's root: %w", err)
		}
		files = append(files, file{path, text})
	}
	// What both pages need stands once.
	nodes, err := os.ReadFile("viewer/web/nodes.js")
	if err != nil {
		return nil, err
	}
	for i := range files {
		if filepath.Base(files[i].name) == "boot.js" {
			files[i].text = append(append(files[i].text, '\n'), nodes...)
		}
	}
	text, err := os.ReadFile(glue)
	if err != nil {
		return nil, fmt.Errorf("reading the toolchain's glue: %w", err)
	}
	return append(files, file{"wasm_exec.js", text}, file{"track/wasm_exec.js", text}), nil
}

// withVersion replaces the mark in every file by a hash of all of them, so that a
// changed explorer gets its own cache in the browser.
func withVersion(files []file) []file {
	sum := sha256.New()
	for _, f := range files {
		fmt.Fprintf(sum, "%s %d\n", f.name, len(f.text))
		sum.Write(f.text)
	}
	version := fmt.Sprintf("%x", sum.Sum(nil)[:8])
	for i := range files {
		files[i].text = bytes.ReplaceAll(files[i].text, []byte(versionMark), []byte(version))
	}
	return files
}

func write(files []file) error {
	if err := os.MkdirAll(dist+"/track", 0o755); err != nil {
		return err
	}
	for _, f := range files {
		path := filepath.Join(dist, f.name)
		if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, f.text) {
			continue // unchanged, so that the package that embeds it is not built again
		}
		if err := os.WriteFile(path, f.text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
