// Command parity proves that the derived tables do not depend on the processor:
// it builds one small program for several targets, runs each over the same
// dataset, and compares what they derive, byte for byte by hash, with each other
// and with the tables on disk.
//
//	go run ./scripts/parity [DATASET]
package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
)

// target is a way to build and run the program.
type target struct {
	name string
	env  []string
	wasm bool
}

var targets = []target{
	{name: "js/wasm under Node", env: []string{"GOOS=js", "GOARCH=wasm"}, wasm: true},
	{name: "native, one core", env: []string{"GOMAXPROCS=1", "LC_ALL=tr_TR.UTF-8", "TZ=Asia/Kathmandu"}},
}

func main() {
	dataset := "data"
	if len(os.Args) > 1 {
		dataset = os.Args[1]
	}
	if err := run(dataset); err != nil {
		fmt.Fprintln(os.Stderr, "parity:", err)
		os.Exit(1)
	}
}

func run(dataset string) error {
	temp, err := os.MkdirTemp("", "parity")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	want, err := onDisk(dataset)
	if err != nil {
		return err
	}
	for _, t := range append(native(), targets...) {
		got, err := t.derive(temp, dataset)
		if err != nil {
			return fmt.Errorf("%s: %w", t.name, err)
		}
		if !bytes.Equal(got, want) {
			return fmt.Errorf("%s differs from the tables on disk:\n%s\non disk:\n%s", t.name, got, want)
		}
		fmt.Printf("%-24s %d tables, every byte the same\n", t.name, bytes.Count(got, []byte("\n")))
	}
	return nil
}

// native lists the levels of this processor that change how Go compiles.
func native() []target {
	if runtime.GOARCH != "amd64" {
		return []target{{name: "native " + runtime.GOARCH}}
	}
	list := []target{{name: "amd64 v1", env: []string{"GOAMD64=v1"}}}
	cpu, _ := os.ReadFile("/proc/cpuinfo")
	if bytes.Contains(cpu, []byte(" fma")) && bytes.Contains(cpu, []byte(" avx2")) {
		return append(list, target{name: "amd64 v3", env: []string{"GOAMD64=v3"}})
	}
	fmt.Println("amd64 v3                 skipped: this processor has no FMA or AVX2")
	return list
}

// derive builds the program for the target and returns its lines: the SHA-256 of
// each derived table.
func (t target) derive(temp, dataset string) ([]byte, error) {
	program := filepath.Join(temp, strings.Map(letters, t.name))
	build := exec.Command("go", "build", "-o", program, "./scripts/parity/derived")
	build.Env = append(os.Environ(), t.env...)
	build.Stderr = os.Stderr
	if err := build.Run(); err != nil {
		return nil, fmt.Errorf("building: %w", err)
	}
	command := exec.Command(program, dataset)
	command.Env = append(os.Environ(), t.env...)
	if t.wasm {
		root, err := exec.Command("go", "env", "GOROOT").Output()
		if err != nil {
			return nil, err
		}
		command = exec.Command("node", filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js"), program, dataset)
		command.Env = []string{"PATH=" + os.Getenv("PATH")} // the wasm runtime limits the size of the environment
	}
	command.Stderr = os.Stderr
	return command.Output()
}

// letters keeps what may stand in a file name.
func letters(r rune) rune {
	if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
		return r
	}
	return '-'
}

// onDisk hashes the committed tables in the same form.
func onDisk(dataset string) ([]byte, error) {
	paths, err := filepath.Glob(filepath.Join(dataset, "derived", "*"))
	if err != nil || len(paths) == 0 {
		return nil, fmt.Errorf("no derived tables in %q; run `make demo` or `soletrial derive`", dataset)
	}
	var lines bytes.Buffer
	for _, path := range paths { // Glob sorts
		text, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&lines, "%x  %s\n", sha256.Sum256(text), filepath.Base(path))
	}
	return lines.Bytes(), nil
}
