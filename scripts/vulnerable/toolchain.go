package main

import (
	"encoding/json"
	"fmt"
	"go/version"
	"os/exec"
)

// named is the toolchain that the go.mod in a folder names, "" where it names none.
func named(dir string) string {
	command := exec.Command("go", "mod", "edit", "-json")
	command.Dir = dir
	out, err := command.Output()
	var mod struct{ Toolchain string }
	if err != nil || json.Unmarshal(out, &mod) != nil {
		return ""
	}
	return mod.Toolchain
}

// heldBack says so where an older Go was used than go.mod names.
func heldBack(used, named string) string {
	if !version.IsValid(used) || !version.IsValid(named) || version.Compare(used, named) >= 0 {
		return ""
	}
	return fmt.Sprintf("; what was examined is %s, go.mod names %s: GOTOOLCHAIN=auto lets go fetch it", used, named)
}
