package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// wasmWays builds the chain for WebAssembly and lists what can run it.
func wasmWays(temp string) ([]way, error) {
	program := filepath.Join(temp, "inwasm.wasm")
	if err := build(program, "./scripts/parity/inwasm", "GOOS=js", "GOARCH=wasm"); err != nil {
		return nil, fmt.Errorf("wasm: %w", err)
	}

	// The toolchain has the glue between program and host.
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	glue := filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm")
	var ways []way
	if node := findProgram("NODE", "node", "nodejs"); node != "" {
		ways = append(ways, way{"wasm, Node, LC_ALL=tr_TR.UTF-8 TZ=Pacific/Chatham",
			func(s set) (tables, error) { return underNode(node, glue, program, s) }})
	} else {
		skip("wasm under Node", "no Node; run sh scripts/need.sh node")
	}

	// Browsers.
	for _, b := range browsers {
		path := findProgram(b.variable, b.names...)
		if path == "" {
			skip("wasm in "+b.name, "no "+b.name+"; run sh scripts/need.sh "+strings.ToLower(b.name))
			continue
		}
		ways = append(ways, way{"wasm, " + b.name,
			func(s set) (tables, error) { return b.derive(path, filepath.Join(glue, "wasm_exec.js"), program, s) }})
	}
	return ways, nil
}

func underNode(node, glue, program string, s set) (tables, error) {
	archive, err := s.archive()
	if err != nil {
		return nil, err
	}
	file, err := os.CreateTemp("", "parity-*.zip")
	if err != nil {
		return nil, err
	}
	defer os.Remove(file.Name())
	if _, err := file.Write(archive); err != nil {
		return nil, err
	}
	if err := file.Close(); err != nil {
		return nil, err
	}
	command := exec.Command(node, filepath.Join(glue, "wasm_exec_node.js"), program, file.Name())
	// the wasm runtime limits the size of the environment
	command.Env = []string{"PATH=" + os.Getenv("PATH"), "LC_ALL=tr_TR.UTF-8", "TZ=Pacific/Chatham"}
	command.Stderr = os.Stderr
	out, err := command.Output()
	if err != nil {
		return nil, err
	}
	return parse(out)
}
