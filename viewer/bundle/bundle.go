// Package bundle holds the built viewer, so that one program can publish a site
// without anything beside it.
//
// `go run ./scripts/viewer` fills dist/, which is not kept in git; a program
// built without it publishes pages without an explorer and says so.
package bundle

import (
	"embed"
	"fmt"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// Names lists the files of the built viewer: those of the explorer, and in the folder
// track those of the track page, as they are published beside the two pages.
var Names = []string{"boot.js", "convert.js", "convert.wasm.gz", "explorer.css", "soletrial.wasm.gz", "sw.js",
	"track/boot.js", "track/sw.js", "track/track.css", "track/track.wasm.gz", "track/wasm_exec.js", "wasm_exec.js"}

// Built reports whether this program was built with the viewer inside.
func Built() bool {
	for _, name := range Names {
		if _, err := fs.Stat(dist, "dist/"+name); err != nil {
			return false
		}
	}
	return true
}

// Files returns the built viewer by file name. Without a built viewer it is an
// error that says how to build it.
func Files() (map[string][]byte, error) {
	files := make(map[string][]byte, len(Names))
	for _, name := range Names {
		text, err := dist.ReadFile("dist/" + name)
		if err != nil {
			return nil,
				fmt.Errorf("the viewer was not built into this program: run `make viewer`, then build again (%w)", err)
		}
		files[name] = text
	}
	return files, nil
}
