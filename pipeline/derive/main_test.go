package derive_test

import (
	"flag"
	"os"
	"runtime"
	"testing"
)

// In WebAssembly a derivation takes four times as long, and the properties, which are of the
// analysis and not of the machine, take a fifth of the tries there.
func TestMain(m *testing.M) {
	flag.Parse()
	if runtime.GOARCH == "wasm" {
		if err := flag.Set("rapid.checks", "20"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
