package main

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A program without names, files and lines does what it did: it grows its stack, collects
// garbage, recovers from a panic and waits for goroutines. Node runs both.
func TestProgramsWithoutTracesRun(t *testing.T) {
	node, err := exec.LookPath("node")
	if testing.Short() || err != nil {
		t.Skip("needs Node, and builds two programs")
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	source := `package main

import ("fmt"; "runtime"; "sync")

func deep(n int) int { if n == 0 { return 0 }; var room [64]int; room[n%64] = n; return deep(n-1) + room[n%64] - n + 1 }

func caught() (s string) { defer func() { s = fmt.Sprint(recover()) }(); var p *int; return fmt.Sprint(*p) }

func main() {
	var all sync.WaitGroup
	sums := make([]int, 20)
	for i := range sums { all.Add(1); go func() { defer all.Done(); sums[i] = deep(1000 * (i + 1)); runtime.GC() }() }
	all.Wait()
	fmt.Println(sums, caught())
}
`
	program := program{source: filepath.Join(folder, "main.go"), name: "x"}
	if err := os.WriteFile(program.source, []byte(source), 0o644); err != nil {
		t.Fatal(err)
	}
	packed, err := program.build()
	if err != nil {
		t.Fatal(err)
	}
	module := unpacked(t, packed)
	if bytes.Contains(module, []byte("main.caught")) || bytes.Contains(module, []byte("symtab.go")) ||
		!bytes.Contains(module, []byte("runtime.bgsweep\x00")) {
		t.Error("names are kept, or those that the runtime needs are gone")
	}
	file := filepath.Join(folder, "x.wasm")
	if err := os.WriteFile(file, module, 0o644); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(node, filepath.Join(strings.TrimSpace(string(root)), "lib/wasm/wasm_exec_node.js"), file)
	out, err := run.CombinedOutput()
	want := "[1000 2000 3000 4000 5000 6000 7000 8000 9000 10000 11000 12000 13000 14000 15000 16000 17000 18000 " +
		"19000 20000] runtime error: invalid memory address or nil pointer dereference\n"
	if err != nil || string(out) != want {
		t.Errorf("%v: %.2000s", err, out)
	}
}

func unpacked(t *testing.T, packed []byte) []byte {
	t.Helper()
	in, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	content, err := io.ReadAll(in)
	if err != nil {
		t.Fatal(err)
	}
	return content
}

// What is not the known table is refused, not blanked by guess.
func TestOtherTablesAreRefused(t *testing.T) {
	table := append([]byte("before"), functionMagic...)
	for _, n := range []uint64{1, 1, 0, 72, 80, 88, 96, 104} {
		table = binary.LittleEndian.AppendUint64(table, n)
	}
	for name, segments := range map[string][]segment{
		"none": {{0, []byte("nothing")}}, "cut off": {{0, table[:40]}}, "ends early": {{0, table}},
		"out of order": {{0, append(append([]byte(nil), functionMagic...), bytes.Repeat([]byte{9}, 99)...)}},
	} {
		if err := emptyTraces(segments); !errors.Is(err, errFunctions) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
