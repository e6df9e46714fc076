package main_test

import (
	"bytes"
	"fmt"
	"html"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soletrial/cmd/internal/export"
	duckdb "soletrial/scripts/checkers"
)

var (
	shownQuery = regexp.MustCompile(`(?s)<h3 id="ask-([a-z]+)">.*?<pre class="program"><code>(.*?)</code></pre>`)
	shownCell  = regexp.MustCompile(`(?s)<t[hd][^>]*>(.*?)</t[hd]>`)
	tag        = regexp.MustCompile(`<[^>]*>`)
)

// shownQueries reads the page of data: the programs by language, and what each prints.
func shownQueries(t *testing.T, page string) (programs map[string]string, want []string) {
	t.Helper()
	programs = map[string]string{}
	for _, m := range shownQuery.FindAllStringSubmatch(page, -1) {
		programs[m[1]] = html.UnescapeString(m[2])
		if lines := strings.Count(programs[m[1]], "\n") + 1; lines != 6 {
			t.Errorf("%s has %d lines", m[1], lines)
		}
	}
	_, rest, _ := strings.Cut(page, "What each of them prints")
	rest, _, _ = strings.Cut(rest, "</table>")
	for _, row := range strings.Split(rest, "<tr")[2:] {
		var cells []string
		for _, m := range shownCell.FindAllStringSubmatch(row, -1) {
			cells = append(cells, strings.TrimSpace(html.UnescapeString(tag.ReplaceAllString(m[1], ""))))
		}
		want = append(want, strings.Join(cells, " "))
	}
	if len(programs) != 4 || len(want) != 4 {
		t.Fatalf("%d programs, rows %q", len(programs), want)
	}
	return programs, want
}

// Oracles: DuckDB, Python and R. Run as they stand on the page, in the published folder, the
// programs print the numbers that the page shows beside them.
func TestDataPageQueries(t *testing.T) {
	site := filepath.Join(t.TempDir(), "public")
	run(t, "-d", "../../data", "publish", "-o", site)
	page, err := os.ReadFile(filepath.Join(site, "data", "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	programs, want := shownQueries(t, string(page))
	check := func(t *testing.T, got []string) {
		t.Helper()
		if strings.Join(got, "\n") != strings.Join(want, "\n") {
			t.Errorf("prints\n%s\nthe page says\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	}
	t.Run("sql", func(t *testing.T) {
		sql := "SELECT shoe || ' ' || blocks || ' ' || printf('%.4f', speed_mps) AS line FROM (" +
			strings.TrimSuffix(programs["sql"], ";") + ")"
		var got []string
		for _, row := range duckdb.Query(t, filepath.Join(site, "data"), sql) {
			line, _ := row["line"].(string)
			got = append(got, line)
		}
		check(t, got)
	})
	t.Run("parquet", func(t *testing.T) {
		dir := filepath.Join(site, "data")
		var said bytes.Buffer
		if code := export.Main([]string{dir, "-o", filepath.Join(dir, "lake")}, &said, &said); code != 0 {
			t.Fatalf("exit code %d: %s", code, &said)
		}
		sql := "SELECT shoe || ' ' || blocks || ' ' || printf('%.4f', speed_mps) AS line FROM (" +
			strings.TrimSuffix(programs["parquet"], ";") + ")"
		if rows := duckdb.Query(t, dir, sql); len(rows) != len(want) {
			t.Errorf("%d shoes, want %d", len(rows), len(want))
		} else {
			for i, row := range rows {
				line, _ := row["line"].(string)
				sameSpeed(t, line, want[i])
			}
		}
	})
	for language, command := range map[string][]string{"python": {"python3", "-"}, "r": {"Rscript", "-"}} {
		t.Run(language, func(t *testing.T) {
			if _, err := exec.LookPath(command[0]); err != nil {
				t.Logf("not run: there is no %s here", command[0])
				return
			}
			program := exec.Command(command[0], command[1:]...)
			program.Dir, program.Stdin = filepath.Join(site, "data"), strings.NewReader(programs[language])
			var said bytes.Buffer
			program.Stderr = &said
			out, err := program.Output()
			if err != nil {
				t.Fatalf("%v: %s", err, &said)
			}
			var got []string
			for line := range strings.Lines(string(out)) {
				if fields := strings.Join(strings.Fields(line), " "); fields != "shoe blocks speed_mps" {
					got = append(got, fields)
				}
			}
			check(t, got)
		})
	}
}

// sameSpeed compares what the query over samples says of a shoe with what the page says: the same
// speed but for rounding. Two shoes ran two blocks each on a treadmill, at the speed of the belt and
// without a recording; those have no samples.
func sameSpeed(t *testing.T, line, want string) {
	t.Helper()
	var shoe, wantedShoe string
	var blocks, wantedBlocks int
	var speed, wantedSpeed float64
	if _, err := fmt.Sscan(line, &shoe, &blocks, &speed); err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Sscan(want, &wantedShoe, &wantedBlocks, &wantedSpeed); err != nil {
		t.Fatal(err)
	}
	const belt, onBelt = 4.065, 2
	if shoe == "fennock" || shoe == "tarrow" {
		wantedSpeed = (wantedSpeed*float64(wantedBlocks) - belt*onBelt) / float64(wantedBlocks-onBelt)
		wantedBlocks -= onBelt
	}
	if shoe != wantedShoe || blocks != wantedBlocks || math.Abs(speed-wantedSpeed) > 2e-4 {
		t.Errorf("prints %q, the page says %q, %.4f m/s without the treadmill", line, want, wantedSpeed)
	}
}
