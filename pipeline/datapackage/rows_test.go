package datapackage

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// reader reads tables by their published descriptor alone, as another program
// would: types, constraints, keys and references as Table Schema defines them.
type reader struct {
	schemas  map[string]schema // by resource name
	texts    map[string]string
	problems []string
}

func newReader(t testing.TB, files []File) *reader {
	t.Helper()
	ds, _ := demo(t)
	text, err := Package(ds, files, someHash, "")
	if err != nil {
		t.Fatal(err)
	}
	var d struct {
		Resources []struct {
			Name   string
			Schema json.RawMessage
		}
	}
	if err := json.Unmarshal(text, &d); err != nil {
		t.Fatal(err)
	}
	shared, err := Schemas(files)
	if err != nil {
		t.Fatal(err)
	}
	r := &reader{schemas: map[string]schema{}, texts: map[string]string{}}
	for i, resource := range d.Resources {
		described, path := resource.Schema, ""
		if described == nil {
			continue
		}
		if json.Unmarshal(described, &path) == nil { // a path and no schema
			described = shared[slices.IndexFunc(shared, func(f File) bool { return f.Path == path })].Text
		}
		var s schema
		if err := json.Unmarshal(described, &s); err != nil {
			t.Fatalf("%s: %v", resource.Name, err)
		}
		r.schemas[resource.Name], r.texts[resource.Name] = s, string(files[i].Text)
	}
	return r
}

func (r *reader) complain(format string, args ...any) {
	r.problems = append(r.problems, fmt.Sprintf(format, args...))
}

// rows returns the cells of a table under their columns.
func (r *reader) rows(name string) []map[string]string {
	records, err := csv.NewReader(strings.NewReader(r.texts[name])).ReadAll()
	if err != nil {
		r.complain("%s: %v", name, err)
		return nil
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, cell := range record {
			if records[0][i] != r.schemas[name].Fields[i].Name {
				r.complain("%s: column %d is %q", name, i, records[0][i])
			}
			row[records[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

var decimal = regexp.MustCompile(`^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

func (r *reader) cell(where string, f field, text string) {
	if text == "" {
		if f.Constraints != nil && f.Constraints.Required {
			r.complain("%s is blank", where)
		}
		return
	}
	sound := true
	switch f.Type {
	case "number":
		sound = decimal.MatchString(text)
	case "integer":
		_, err := strconv.Atoi(text)
		sound = err == nil
	case "boolean":
		sound = slices.Contains(slices.Concat(f.TrueValues, f.FalseValues), text)
	case "date":
		_, err := time.Parse("2006-01-02", text)
		sound = err == nil
	case "string":
	default:
		sound = false
	}
	if !sound {
		r.complain("%s: %q is no %s", where, text, f.Type)
		return
	}
	if c := f.Constraints; c != nil {
		r.bounds(where, c, text)
	}
}

func (r *reader) bounds(where string, c *constraints, text string) {
	if c.Enum != nil && !slices.Contains(c.Enum, text) {
		r.complain("%s: %q is none of %v", where, text, c.Enum)
	}
	value, _ := strconv.ParseFloat(text, 64)
	for bound, side := range map[*json.Number]float64{c.Minimum: 1, c.Maximum: -1} {
		if bound == nil {
			continue
		}
		if limit, err := bound.Float64(); err != nil || side*value < side*limit {
			r.complain("%s: %s is beyond %s", where, text, *bound)
		}
	}
}

func (r *reader) table(name string) {
	s := r.schemas[name]
	rows := r.rows(name)
	seen := map[string]int{}
	for i, row := range rows {
		for _, f := range s.Fields {
			r.cell(fmt.Sprintf("%s row %d %s", name, i+1, f.Name), f, row[f.Name])
		}
		var key []string
		for _, k := range s.PrimaryKey {
			if row[k] == "" {
				r.complain("%s row %d: the key's %s is blank", name, i+1, k)
			}
			key = append(key, row[k])
		}
		if s.PrimaryKey != nil {
			if at := seen[strings.Join(key, "\x00")]; at > 0 {
				r.complain("%s rows %d and %d have one key", name, at, i+1)
			}
			seen[strings.Join(key, "\x00")] = i + 1
		}
	}
	for _, k := range s.ForeignKeys {
		known := map[string]bool{"": true}
		for _, row := range r.rows(k.Reference.Resource) {
			known[row[k.Reference.Fields[0]]] = true
		}
		for i, row := range rows {
			if !known[row[k.Fields[0]]] {
				r.complain("%s row %d: %s %q is not in %s", name, i+1, k.Fields[0],
					row[k.Fields[0]], k.Reference.Resource)
			}
		}
	}
}

func (r *reader) all() []string {
	for _, name := range slices.Sorted(func(yield func(string) bool) {
		for name := range r.schemas {
			if !yield(name) {
				return
			}
		}
	}) {
		r.table(name)
	}
	return r.problems
}

// Every table of the demonstration is what its schema says.
func TestEveryTableHolds(t *testing.T) {
	_, files := demo(t)
	r := newReader(t, files)
	if len(r.schemas) < 20 {
		t.Fatalf("only %d tables", len(r.schemas))
	}
	for _, problem := range r.all() {
		t.Error(problem)
	}
	keys, references := 0, 0
	for _, s := range r.schemas {
		references += len(s.ForeignKeys)
		if s.PrimaryKey != nil {
			keys++
		}
	}
	if keys < 10 || references < 10 {
		t.Errorf("%d keys and %d references", keys, references)
	}
}

// The check above can fail.
func TestWrongTablesAreFound(t *testing.T) {
	for want, spoil := range map[string]struct{ path, from, to string }{
		"is no number":           {"shoes.csv", ",43", ",forty"},
		"is not in shoes":        {"derived/comparisons.csv", ",fennock,tarrow,", ",nobody,tarrow,"},
		"have one key":           {"shoes.csv", "\nfennock,", "\ntarrow,"},
		"is blank":               {"shoes.csv", "\nfennock,", "\n,"},
		"is none of":             {"derived/findings.csv", ",note,", ",nota,"},
		"is no boolean":          {"derived/blocks.csv", ",yes,", ",true,"},
		"is beyond 100":          {"derived/blocks.csv", ",100.00,", ",100.01,"},
		"is no date":             {"derived/sessions.csv", ",2026-03-07,", ",2026-03-32,"},
		"is no integer":          {"derived/sensor.csv", ",16\n", ",16.0\n"},
		"is beyond 0":            {"sessions/2026-03-07-power/blocks.csv", ",120.0,", ",-120.0,"},
		`"x" is no number`:       {"sessions/2026-03-07-power/watch.csv", "\n0.000,", "\nx,"},
		"wrong number of fields": {"runners.csv", "\n", ",\n"},
	} {
		_, files := demo(t)
		changed := false
		for i, f := range files {
			if f.Path == spoil.path {
				text := strings.Replace(string(f.Text), spoil.from, spoil.to, 1)
				changed = text != string(f.Text)
				files[i].Text = []byte(text)
			}
		}
		if !changed {
			t.Errorf("%s holds no %q", spoil.path, spoil.from)
			continue
		}
		if problems := newReader(t, files).all(); !strings.Contains(strings.Join(problems, "\n"), want) {
			t.Errorf("%s with %q: %v", spoil.path, spoil.to, problems)
		}
	}
}

func TestTableOf(t *testing.T) {
	for path, want := range map[string]string{
		"shoes.csv": "shoes", "sessions/a/blocks.csv": "blocks", "sessions/a/foot_sensor.csv": "recording",
		"derived/blocks.csv": "derived blocks",
		"dataset.yaml":       "", "x.csv": "", "sessions/blocks.csv": "", "sessions/a/b/c.csv": "",
		"derived/new.csv": "", "sessions//x.csv": "",
	} {
		got := TableOf(path)
		if (got == nil) != (want == "") || got != nil && got.Name != want {
			t.Errorf("%s: %v", path, got)
		}
	}
	listed := map[string]bool{}
	for _, table := range Tables() {
		listed[table.Name] = true
	}
	for path, table := range fixedTables {
		if !listed[table.Name] {
			t.Errorf("%s is not listed", path)
		}
	}
}
