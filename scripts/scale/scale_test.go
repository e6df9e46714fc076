package main

import (
	"os"
	"strconv"
	"strings"
	"testing"
)

// Every command takes what the others wrote, at many shoes and at many sessions, and what derive
// writes grows no faster than the sessions: twice as many, at most twice the bytes.
func TestEveryCommandAtSizes(t *testing.T) {
	if testing.Short() {
		t.Skip("a minute")
	}
	if err := os.Chdir("../.."); err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	if err := run(&out, []size{{10, 15, 4}, {20, 15, 4}, {10, 15, 12}}, false); err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimSpace(out.String()), "\n")[2:]
	if len(rows) != 21 {
		t.Fatalf("%d rows of three datasets, want 7 of each:\n%s", len(rows), out.String())
	}
	written := map[string]int{}
	for _, row := range rows {
		cells := strings.Split(strings.Trim(row, "| "), " | ")
		kB, err := strconv.Atoi(cells[5])
		if err != nil {
			t.Fatalf("%q: %v", row, err)
		}
		written[cells[1]+" "+cells[0]] = kB
	}
	few, many := written["derive 10 x 15 x 4"], written["derive 20 x 15 x 4"]
	if few == 0 || many > 2*few {
		t.Errorf("derive writes %d kB of 10 sessions and %d kB of 20", few, many)
	}
	if written["publish 10 x 15 x 12"] == 0 || written["pictures 10 x 15 x 12"] == 0 {
		t.Errorf("nothing was written:\n%s", out.String())
	}
}
