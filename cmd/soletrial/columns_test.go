package main

import (
	"encoding/csv"
	"encoding/json"
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
	"blocks.csv", "comparisons.csv", "findings.csv", "forecast.csv", "sensor.csv", "sessions.csv",
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

// beyondColumns are the keys of a comparison in JSON that are no columns.
var beyondColumns = strings.Fields("tipping_interval_per_block leave_one_out_low leave_one_out_high conservative_low " +
	"conservative_high new_runner_low new_runner_high reasons sentence")

func TestComparisonJSONHasTheColumns(t *testing.T) {
	var out strings.Builder
	if code := cli.Main([]string{"-d", "../../data", "compare", "--json"}, nil, &out, os.Stderr); code != 0 {
		t.Fatalf("exit %d", code)
	}
	var answer struct{ Comparisons []map[string]any }
	if err := json.Unmarshal([]byte(out.String()), &answer); err != nil || len(answer.Comparisons) == 0 {
		t.Fatalf("%d comparisons (%v)", len(answer.Comparisons), err)
	}
	columns := derive.TableColumns("comparisons.csv")
	for _, c := range columns {
		if c.Required && answer.Comparisons[0][c.Name] == nil {
			t.Errorf("no %q in the JSON of a comparison", c.Name)
		}
	}
	for key := range answer.Comparisons[0] {
		if !slices.Contains(columnNames(columns), key) && !slices.Contains(beyondColumns, key) {
			t.Errorf("the key %q is no column", key)
		}
	}
}

// What the README says of the derived tables names every table and only columns that
// there are.
func TestReadmeNamesTheDerivedTables(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, passage, _ := strings.Cut(string(text), "\n`derive` writes ")
	passage, _, there := strings.Cut(passage, "\n## ")
	if !there {
		t.Fatal("the README does not say what derive writes")
	}
	var known []string
	for _, name := range derivedTables {
		known = append(append(known, name), columnNames(derive.TableColumns(name))...)
		if !strings.Contains(passage, "`"+name+"`") {
			t.Errorf("the README does not name %s", name)
		}
	}
	for _, code := range regexp.MustCompile("`[a-z_]+(\\.csv)?`").FindAllString(passage, -1) {
		if !slices.Contains(known, strings.Trim(code, "`")) {
			t.Errorf("the README speaks of %s, which is neither a table nor a column", code)
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
