package export

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soletrial/pipeline/flat"
	"soletrial/scripts/checkers"
)

var update = flag.Bool("update", false, "write the table of columns into the README")

const (
	readme       = "../../soletrial-export/README.md"
	columnsStart = "<!-- columns: go test ./cmd/internal/export -run TestReadme -update -->\n"
	columnsEnd   = "<!-- end of columns -->"
)

// The README lists the columns that the tables have.
func TestReadmeListsTheColumns(t *testing.T) {
	text, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, found := strings.Cut(string(text), columnsStart)
	_, after, ends := strings.Cut(rest, columnsEnd)
	if !found || !ends {
		t.Fatal("the README has no place for the columns")
	}
	var list strings.Builder
	list.WriteString("| column | type | unit | meaning |\n|---|---|---|---|\n")
	for _, c := range flat.Columns() {
		fmt.Fprintf(&list, "| `%s` | %s | %s | %s |\n", c.Name, c.Type, c.Unit, c.Meaning)
	}
	want := before + columnsStart + list.String() + columnsEnd + after
	if *update {
		if err := os.WriteFile(readme, []byte(want), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if string(text) != want {
		t.Error("the columns in the README are not those of the tables; run this test with -update")
	}
}

// The query of the README, as it stands there, gives the speeds by shoe of the demonstration's
// blocks.csv.
func TestReadmeQuery(t *testing.T) {
	checkers.Query(t, t.TempDir(), "select 1")
	text, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	_, query, found := strings.Cut(string(text), "```sql\n")
	query, _, _ = strings.Cut(query, "```")
	if !found {
		t.Fatal("the README has no query")
	}
	dir := t.TempDir()
	exported(t, demo, "-o", filepath.Join(dir, "lake"))
	blocks, err := blocksOf(demo)
	if err != nil {
		t.Fatal(err)
	}
	sum, n := map[string]float64{}, map[string]float64{}
	for _, b := range blocks {
		speed := 0.0
		if _, err := fmt.Sscan(b["speed_mps"], &speed); err == nil && b["included"] == "yes" &&
			b["session"] != "2026-04-04-treadmill" { // measured by hand, without a recording
			sum[b["shoe"]] += speed
			n[b["shoe"]]++
		}
	}
	rows := checkers.Query(t, dir, query)
	for _, row := range rows {
		shoe, _ := row["shoe"].(string)
		if got, _ := row["speed"].(float64); math.Abs(got-sum[shoe]/n[shoe]) > 5e-5 ||
			fmt.Sprint(row["blocks"]) != fmt.Sprint(n[shoe]) {
			t.Errorf("%s: %v, want %v over %v blocks", shoe, row, sum[shoe]/n[shoe], n[shoe])
		}
	}
	if len(rows) != 4 || len(sum) != 4 {
		t.Errorf("%d shoes, in blocks.csv %d, want 4", len(rows), len(sum))
	}
}
