// Command demo writes the demonstration dataset: an invented runner, invented
// shoes, an invented town. The same seed gives the same bytes.
//
//	go run ./scripts/demo -o data
package main

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
)

func main() {
	out := flag.String("o", "data", "the folder to write")
	seed := flag.Uint64("seed", storySeed, "seed of the random numbers")
	flag.Parse()
	files, err := dataset(*seed)
	if err == nil {
		err = write(*out, files)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

// write puts the files below a folder, in path order.
func write(dir string, files map[string][]byte) error {
	for _, path := range slices.Sorted(maps.Keys(files)) {
		full := filepath.Join(dir, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(full), 0o777); err != nil {
			return err
		}
		if err := os.WriteFile(full, files[path], 0o666); err != nil {
			return err
		}
	}
	return nil
}
