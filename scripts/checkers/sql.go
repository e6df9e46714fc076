// Package checkers runs what this folder pins, and `make test` installs, for tests.
package checkers

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// runSQL is the program for Node that runs SQL with DuckDB.
//
//go:embed sql.cjs
var runSQL string

// Query runs SQL statements with DuckDB in a folder and returns the rows of the last by column; numbers come
// as JSON has them. Without DuckDB the test fails where browsers are required, else it is
// skipped with a word.
func Query(t testing.TB, folder, statements string) []map[string]any {
	t.Helper()
	folderOfAll := os.Getenv("CHECKERS")
	if folderOfAll == "" {
		lacking := "no DuckDB: set CHECKERS to what `sh scripts/need.sh checkers` prints"
		if os.Getenv("SOLETRIAL_BROWSER") == "required" {
			t.Fatal(lacking)
		}
		t.Skip(lacking)
	}
	node := exec.Command(cmp.Or(os.Getenv("NODE"), "node"), "-e", runSQL)
	node.Dir, node.Stdin = folder, strings.NewReader(statements)
	node.Env = append(os.Environ(), "NODE_PATH="+filepath.Join(folderOfAll, "node_modules"))
	var said bytes.Buffer
	node.Stderr = &said
	text, err := node.Output()
	if err != nil {
		t.Fatalf("%v: %s\n%s", err, said.String(), statements)
	}
	var rows []map[string]any
	if err := json.Unmarshal(text, &rows); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return rows
}
