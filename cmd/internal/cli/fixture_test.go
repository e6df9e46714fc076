package cli

import "path/filepath"

// repository is the root of this repository, found before any test has left its package's
// folder.
var repository = func() string {
	root, err := filepath.Abs("../../..")
	if err != nil {
		panic(err)
	}
	return root
}()
