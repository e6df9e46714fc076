package stats

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// openCases holds results computed once in R 4.2.2 (lme4, lmerTest, pbkrtest, metafor,
// coin, exactRankTests) on published data sets; each folder names its data source.
const openCases = "testdata/open-cases"

// openCase is one folder.
type openCase struct {
	*testing.T
	data    table
	results node
}

// node is a place in results.json.
type node struct {
	t     testing.TB
	path  string
	value any
}

func (n node) has(key string) bool {
	m, ok := n.value.(map[string]any)
	_, there := m[key]
	return ok && there
}

func (n node) at(keys ...string) node {
	n.t.Helper()
	for _, key := range keys {
		m, ok := n.value.(map[string]any)
		v, there := m[key]
		if !ok || !there {
			n.t.Fatalf("%s: no %q", n.path, key)
		}
		n.path, n.value = n.path+"/"+key, v
	}
	return n
}

func (n node) keys() []string {
	m := n.value.(map[string]any)
	var k []string
	for name := range m {
		k = append(k, name)
	}
	slices.Sort(k)
	return k
}

// num is the number at a path; "NA" is missing.
func (n node) num(keys ...string) float64 {
	n.t.Helper()
	n = n.at(keys...)
	if n.value == "NA" || n.value == "NaN" {
		return nan
	}
	v, ok := n.value.(float64)
	if !ok {
		n.t.Fatalf("%s is no number: %v", n.path, n.value)
	}
	return v
}

func (n node) text(keys ...string) string { return n.at(keys...).value.(string) }

func (n node) list(keys ...string) []any {
	n = n.at(keys...)
	if l, ok := n.value.([]any); ok {
		return l
	}
	return []any{n.value}
}

// eachOpenCase runs a subtest for each folder whose name begins with prefix, and insists
// on the number of folders.
func eachOpenCase(t *testing.T, prefix string, want int, check func(openCase)) {
	folders, err := filepath.Glob(filepath.Join(openCases, prefix+"[0-9]*"))
	if err != nil {
		t.Fatal(err)
	}
	if len(folders) != want {
		t.Fatalf("%d folders %s*, want %d", len(folders), prefix, want)
	}
	for _, dir := range folders {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			raw, err := os.ReadFile(filepath.Join(dir, "results.json"))
			if err != nil {
				t.Fatal(err)
			}
			var doc any
			if err := json.Unmarshal(raw, &doc); err != nil {
				t.Fatal(err)
			}
			root := node{t, filepath.Base(dir), doc}
			check(openCase{t, readTable(t, filepath.Join(dir, "data.csv")), root.at("results")})
		})
	}
}

// columns builds the design from R's column names: a data column, a factor column
// followed by its level, or such parts joined by a colon.
func (c openCase) columns(names []string) *design {
	d := &design{}
	for _, name := range names {
		col := intercept(c.data.rows).cols[0]
		if name != "(Intercept)" {
			for _, part := range strings.Split(name, ":") {
				for i, v := range c.column(part) {
					col[i] *= v
				}
			}
		}
		d.with(name, col)
	}
	return d
}

func (c openCase) column(part string) []float64 {
	if _, ok := c.data.cols[part]; ok {
		return c.data.num(part)
	}
	for name, labels := range c.data.cols {
		if level, ok := strings.CutPrefix(part, name); ok && slices.Contains(labels, level) {
			out := make([]float64, len(labels))
			for i, l := range labels {
				if l == level {
					out[i] = 1
				}
			}
			return out
		}
	}
	c.Fatalf("no column for %q", part)
	return nil
}

// contrastFor reads names such as "B-A" (levels of the first factor) or a column name.
func (c openCase) contrastFor(d *design, firstFactor, name string) []float64 {
	if slices.Contains(d.names, name) {
		return d.contrast(name, "")
	}
	plus, minus, ok := strings.Cut(name, "-")
	if !ok {
		c.Fatalf("contrast %q", name)
	}
	return d.contrast(firstFactor+plus, firstFactor+minus)
}

// formula splits "y ~ A + b + (1 | g:h)".
func formula(s string) (response, firstTerm string, group []string) {
	left, right, _ := strings.Cut(s, " ~ ")
	terms := strings.Split(right, " + ")
	last := terms[len(terms)-1]
	if in, ok := strings.CutPrefix(last, "(1 | "); ok {
		group = strings.Split(strings.TrimSuffix(in, ")"), ":")
	}
	return left, terms[0], group
}

func (c openCase) groups(columns []string) []int {
	labels := make([]string, c.data.rows)
	for _, col := range columns {
		for i, s := range c.data.text(col) {
			labels[i] += "|" + s
		}
	}
	levels := slices.Compact(slices.Sorted(slices.Values(labels)))
	out := make([]int, len(labels))
	for i, s := range labels {
		out[i] = slices.Index(levels, s)
	}
	return out
}
