// Command schemas writes the JSON Schemas of a dataset's YAML files into the folder of package
// schema, from the types and tags of package trial, which the strict reader binds to as well:
// what an editor accepts and what is read are the same thing said twice. Run it in the
// repository's root after a change of those types:
//
//	go run ./scripts/schemas
//
// The schemas are made here and not in the program, which would need five modules for it.
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

// folder is where the program takes the schemas from.
const folder = "pipeline/plaintext/schema/files"

func main() {
	for name, text := range schemas() {
		if err := os.WriteFile(filepath.Join(folder, name), text, 0o644); err != nil {
			fmt.Fprintln(os.Stderr, "schemas: run this in the repository's root:", err)
			os.Exit(1)
		}
	}
}
