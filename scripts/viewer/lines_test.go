package main

import (
	"bytes"
	"compress/gzip"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// sample leans on everything that reads the table of functions: growing stacks,
// collecting while many goroutines wait, deferred calls, recovered panics of the
// runtime, and functions made by reflect.
const sample = `package main

import (
	"fmt"
	"reflect"
	"runtime"
	"sync"
)

func deep(n int, keep []*int) int {
	if n == 0 {
		runtime.GC()
		return *keep[len(keep)-1]
	}
	x := n
	return deep(n-1, append(keep, &x)) + x
}

func caught(work func()) (what any) {
	defer func() { what = recover() }()
	work()
	return nil
}

type counter struct{ n *int }

func (c counter) Add(by *int) int { runtime.GC(); *c.n += *by; return *c.n }

func main() {
	fmt.Println(deep(20000, nil))
	var list []int
	var none map[string]int
	fmt.Println(caught(func() { list[3]++ }), caught(func() { none["x"] = 1 }), caught(func() { panic(fmt.Sprint("own")) }))
	by := 2
	add := reflect.ValueOf(counter{new(int)}).Method(0)
	double := reflect.MakeFunc(reflect.TypeOf(func(*int) int { return 0 }), func(in []reflect.Value) []reflect.Value {
		runtime.GC()
		add.Call(in)
		return add.Call(in)
	}).Interface().(func(*int) int)
	fmt.Println(double(&by), add.Interface().(func(*int) int)(&by))
	var wait sync.WaitGroup
	sums := make([]int, 200)
	for i := range sums {
		wait.Add(1)
		go func() {
			defer wait.Done()
			sums[i] = deep(i, nil0(&sums[i]))
		}()
	}
	wait.Wait()
	total := 0
	for _, s := range sums {
		total += s
	}
	fmt.Println(total, runtime.NumGoroutine())
}

func nil0(p *int) []*int { return []*int{p} }
`

// built compiles the program for the browser.
func built(t *testing.T) []byte {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{"main.go": sample, "go.mod": "module program\n\ngo 1.26\n"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	command := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", "program.wasm", ".")
	command.Dir, command.Env = folder, append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0", "GOFLAGS=")
	if out, err := command.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	module, err := os.ReadFile(filepath.Join(folder, "program.wasm"))
	if err != nil {
		t.Fatal(err)
	}
	return module
}

func TestBlankedProgramRunsTheSame(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("no node found: run `sh scripts/need.sh node`")
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	module := built(t)
	blank, err := joinSegments(module, blankLines)
	if err != nil {
		t.Fatal(err)
	}
	said := func(module []byte) string {
		path := filepath.Join(t.TempDir(), "program.wasm")
		if err := os.WriteFile(path, module, 0o644); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(node, filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js"), path).CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		return string(out)
	}
	// 1+...+20000 with the last one counted twice is 200010001.
	whole, got := said(module), said(blank)
	if !strings.HasPrefix(whole, "200010001\n") || strings.Count(whole, "\n") != 4 {
		t.Fatalf("the program says %q", whole)
	}
	if got != whole {
		t.Errorf("blanked the program says %q, before %q", got, whole)
	}
	if !bytes.Contains(module, []byte("main.caught")) || bytes.Contains(blank, []byte("main.caught")) || bytes.Contains(blank, []byte("runtime/panic.go")) || !bytes.Contains(blank, []byte("reflect.makeFuncStub")) {
		t.Error("the names of places are not blanked, or too many are")
	}
	packed, before := zipped(t, blank), zipped(t, must(joinSegments(module, asItIs)))
	if float64(packed) > 0.96*float64(before) {
		t.Errorf("packed %d bytes, with the places %d", packed, before)
	}
}

// zipped is how long a module is as the standard library packs it.
func zipped(t *testing.T, module []byte) int {
	t.Helper()
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err := w.Write(module); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Len()
}

func must(module []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return module
}

func TestBlankLinesRefuses(t *testing.T) {
	header := append([]byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}, make([]byte, 200)...)
	header[8] = 1 // one function, whose record begins where the table does, behind the end
	for name, memory := range map[string][][]byte{
		"no table": {[]byte("nothing")}, "two tables": {header, header}, "cut off": {header[:40]},
		"part outside":   {func() []byte { b := bytes.Clone(header); b[8+8*7] = 0xff; b[9+8*7] = 0xff; return b }()},
		"record outside": {func() []byte { b := bytes.Clone(header); b[7+5] = 0; b[4] = 0; return b[:len(b)-150] }()},
	} {
		var segments []segment
		for _, bytes := range memory {
			segments = append(segments, segment{0, bytes})
		}
		if err := blankLines(segments); !errors.Is(err, errFormat) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
