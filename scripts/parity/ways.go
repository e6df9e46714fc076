package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
)

// way is one way to derive a dataset.
type way struct {
	name   string
	derive func(set) (tables, error)
}

// native is the program itself, built for a processor.
type native struct {
	name   string
	build  []string // environment of the build
	runner string   // a program that runs the other one, for a processor that is not this one
}

// availableWays builds what runs here.
func availableWays(temp string) ([]way, error) {
	var ways []way
	for _, n := range natives() {
		program := filepath.Join(temp, strings.ReplaceAll(n.name, " ", "-"))
		if err := build(program, "./cmd/soletrial", n.build...); err != nil {
			return nil, fmt.Errorf("%s: %w", n.name, err)
		}
		for i, env := range surroundings {
			if n.runner != "" && i > 0 {
				break // emulated, so slow, and the surroundings are the same program's
			}
			ways = append(ways, n.way(temp, program, env))
		}
	}
	browsers, err := wasmWays(temp)
	return append(ways, browsers...), err
}

// surroundings are what a number may not depend on: cores, locale, time zone.
var surroundings = [][]string{
	{"GOMAXPROCS=1", "LC_ALL=C", "TZ=UTC"},
	{"GOMAXPROCS=2", "LC_ALL=tr_TR.UTF-8", "TZ=Asia/Kathmandu"},
	{"GOMAXPROCS=2", "LC_ALL=de_DE.UTF-8", "TZ=America/St_Johns"},
}

// natives lists the processors: the levels of this one that change how Go
// compiles, and another one by emulation.
func natives() []native {
	var list []native
	switch cpu, _ := os.ReadFile("/proc/cpuinfo"); {
	case runtime.GOARCH != "amd64":
		list = append(list, native{name: runtime.GOARCH})
	case bytes.Contains(cpu, []byte(" fma")) && bytes.Contains(cpu, []byte(" avx2")):
		list = append(list, native{name: "amd64 v1", build: []string{"GOAMD64=v1"}},
			native{name: "amd64 v3", build: []string{"GOAMD64=v3"}})
	default:
		skip("amd64 v3", "this processor has no FMA or AVX2")
		list = append(list, native{name: "amd64 v1", build: []string{"GOAMD64=v1"}})
	}
	if runtime.GOARCH == "arm64" {
		return list
	}
	if emulator := findProgram("QEMU_AARCH64", "qemu-aarch64", "qemu-aarch64-static"); runtime.GOOS == "linux" &&
		emulator != "" {
		return append(list, native{name: "arm64", build: []string{"GOARCH=arm64"}, runner: emulator})
	}
	skip("arm64", "no emulator; run sh scripts/need.sh qemu-aarch64")
	return list
}

// way runs the program over a copy of the dataset that has no tables yet.
func (n native) way(temp, program string, env []string) way {
	name := n.name + ", " + strings.Join(env, " ")
	if n.runner != "" {
		name = n.name + " under qemu, " + env[0]
	}
	return way{name, func(s set) (tables, error) {
		work, err := os.MkdirTemp(temp, "derive")
		if err != nil {
			return nil, err
		}
		defer os.RemoveAll(work)

		// A copy without tables for every run.
		dataset := filepath.Join(work, "dataset")
		if err := s.copyTo(dataset); err != nil {
			return nil, err
		}
		args := []string{program, "-d", dataset, "derive"}
		if n.runner != "" {
			args = append([]string{n.runner}, args...)
		}
		command := exec.Command(args[0], args[1:]...)
		command.Env = append(os.Environ(), env...)
		if out, err := command.CombinedOutput(); err != nil {
			return nil, fmt.Errorf("%w: %s", err, out)
		}
		return tablesOf(dataset)
	}}
}

func build(program, from string, env ...string) error {
	command := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-o", program, from)
	command.Env = append(os.Environ(), env...)
	command.Stderr = os.Stderr
	if err := command.Run(); err != nil {
		return fmt.Errorf("building: %w", err)
	}
	return nil
}

// findProgram returns the path of the first program that there is: the one a
// variable names, or one of the names; "" for none.
func findProgram(variable string, names ...string) string {
	for _, name := range append([]string{os.Getenv(variable)}, names...) {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}
