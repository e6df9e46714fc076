package main_test

import (
	"encoding/csv"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"soletrial/cmd/internal/cli"
	"soletrial/pipeline/datapackage"
	"soletrial/pipeline/derive"
)

// derivedTables are the derived tables that have columns.
var derivedTables = []string{
	"analyses.csv", "blocks.csv", "comparisons.csv", "decisions.csv", "findings.csv", "forecast.csv", "progress.csv",
	"ranking.csv", "sensor.csv", "sessions.csv",
}

// A column is stated once, in derive.TableColumns: the tables' headers, the Table Schema
// of the published data and the JSON of compare have these columns and no others.
func TestColumnsAreThoseOfDerive(t *testing.T) {
	found, err := filepath.Glob("../../data/derived/*.csv")
	if err != nil || len(found) != len(derivedTables) {
		t.Fatalf("%q are derived, want the tables %q (%v)", found, derivedTables, err)
	}
	for _, name := range derivedTables {
		columns := derive.TableColumns(name)
		file, err := os.Open(filepath.Join("../../data/derived", name))
		if err != nil {
			t.Fatal(err)
		}
		header, err := csv.NewReader(file).Read()
		file.Close()
		if want := columnNames(columns); err != nil || !slices.Equal(header, want) {
			t.Errorf("%s has the header %q, want %q (%v)", name, header, want, err)
		}
		fields := datapackage.TableOf("derived/" + name).Fields
		if len(fields) != len(columns) {
			t.Fatalf("%s: %d fields in the Table Schema, want %d", name, len(fields), len(columns))
		}
		for i, c := range columns {
			if f := fields[i]; f.Name != c.Name || f.Type != c.Type || f.Unit != c.Unit || f.Meaning != c.Meaning ||
				f.Required != c.Required {
				t.Errorf("%s: the Table Schema says %+v of a column, want %+v", name, f, c)
			}
		}
	}
	if derive.TableColumns("nosuch.csv") != nil {
		t.Error("a table that there is not has columns")
	}
}

// The rows in the JSON of compare have all the columns of the tables, and no other keys.
func TestCompareJSONHasTheColumns(t *testing.T) {
	var out strings.Builder
	if code := cli.Main([]string{"-d", "../../data", "compare", "--json"}, nil, &out, os.Stderr); code != 0 {
		t.Fatalf("exit %d", code)
	}
	var all map[string]json.RawMessage
	if err := json.Unmarshal([]byte(out.String()), &all); err != nil {
		t.Fatal(err)
	}
	for _, table := range []string{"ranking", "decisions", "progress", "analyses", "comparisons"} {
		var rows []map[string]any
		if err := json.Unmarshal(all[table], &rows); err != nil || len(rows) == 0 {
			t.Fatalf("%s: %d rows (%v)", table, len(rows), err)
		}
		columns := derive.TableColumns(table + ".csv")
		for i, row := range rows {
			want := slices.Sorted(slices.Values(columnNames(columns)))
			if got := slices.Sorted(maps.Keys(row)); !slices.Equal(got, want) {
				t.Fatalf("%s, row %d has the keys %q, want %q", table, i, got, want)
			}
			for _, c := range columns {
				if c.Required && row[c.Name] == nil {
					t.Errorf("%s, row %d: no %q", table, i, c.Name)
				}
			}
		}
	}
	if derive.TableJSON(nil, "nosuch.csv") != nil {
		t.Error("a table that there is not has rows")
	}
}

// What the README of data/ says of the derived tables names every table and only columns
// that there are.
func TestReadmeNamesTheDerivedTables(t *testing.T) {
	text, err := os.ReadFile("../../data/README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, passage, _ := strings.Cut(string(text), "\n`derive` writes the answer")
	passage, _, there := strings.Cut(passage, "\n## ")
	if !there {
		t.Fatal("data/README.md does not say what derive writes")
	}
	var known []string
	for _, name := range derivedTables {
		known = append(append(known, name), columnNames(derive.TableColumns(name))...)
		if !strings.Contains(passage, "`"+name+"`") {
			t.Errorf("data/README.md does not name %s", name)
		}
	}
	for _, code := range regexp.MustCompile("`[a-z_]+(\\.csv)?`").FindAllString(passage, -1) {
		if !slices.Contains(known, strings.Trim(code, "`")) {
			t.Errorf("data/README.md speaks of %s, which is neither a table nor a column", code)
		}
	}
}

func columnNames(columns []derive.Column) []string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.Name
	}
	return names
}
