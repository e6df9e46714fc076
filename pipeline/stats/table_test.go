package stats

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"testing"
)

// table is a small CSV file by column.
type table struct {
	t    testing.TB
	cols map[string][]string
	rows int
}

func readTable(t testing.TB, path string) table {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(path, err)
	}
	out := table{t: t, cols: map[string][]string{}, rows: len(records) - 1}
	for j, name := range records[0] {
		for _, r := range records[1:] {
			out.cols[name] = append(out.cols[name], r[j])
		}
	}
	return out
}

// num returns a column as numbers.
func (d table) num(name string) []float64 {
	d.t.Helper()
	out := make([]float64, d.rows)
	for i, s := range d.text(name) {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			d.t.Fatalf("column %s: %v", name, err)
		}
		out[i] = v
	}
	return out
}

func (d table) text(name string) []string {
	d.t.Helper()
	c, ok := d.cols[name]
	if !ok {
		d.t.Fatalf("no column %q", name)
	}
	return c
}

// filter returns the rows for which keep is true.
func (d table) filter(keep func(i int) bool) table {
	out := table{t: d.t, cols: map[string][]string{}}
	for i := range d.rows {
		if keep(i) {
			out.rows++
		}
	}
	for name, c := range d.cols {
		for i, v := range c {
			if keep(i) {
				out.cols[name] = append(out.cols[name], v)
			}
		}
	}
	return out
}

// codes numbers the labels of a column by their place in levels (sorted labels when
// levels is nil).
func (d table) codes(name string, levels []string) ([]int, []string) {
	c := d.text(name)
	if levels == nil {
		levels = slices.Compact(slices.Sorted(slices.Values(c)))
	}
	out := make([]int, len(c))
	for i, s := range c {
		if out[i] = slices.Index(levels, s); out[i] < 0 {
			d.t.Fatalf("column %s: unknown label %q", name, s)
		}
	}
	return out, levels
}

// design gathers named columns: an intercept, numbers, and treatment-coded factors.
type design struct {
	names []string
	cols  [][]float64
}

func intercept(n int) *design {
	one := make([]float64, n)
	for i := range one {
		one[i] = 1
	}
	return (&design{}).with("(Intercept)", one)
}

func (d *design) with(name string, col []float64) *design {
	d.names = append(d.names, name)
	d.cols = append(d.cols, col)
	return d
}

// factor adds an indicator for every level but the first.
func (d *design) factor(name string, codes []int, levels []string) *design {
	for l := 1; l < len(levels); l++ {
		d.with(name+levels[l], indicator(codes, l))
	}
	return d
}

func indicator(codes []int, level int) []float64 {
	col := make([]float64, len(codes))
	for i, c := range codes {
		if c == level {
			col[i] = 1
		}
	}
	return col
}

func (d *design) matrix() Matrix {
	m := NewMatrix(len(d.cols[0]), len(d.cols))
	for j, c := range d.cols {
		for i, v := range c {
			m.Set(i, j, v)
		}
	}
	return m
}

// contrast returns the vector with +1 for the column plus and -1 for minus; a name
// without a column (a reference level) counts as zero.
func (d *design) contrast(plus, minus string) []float64 {
	c := make([]float64, len(d.names))
	if j := slices.Index(d.names, plus); j >= 0 {
		c[j]++
	}
	if j := slices.Index(d.names, minus); j >= 0 {
		c[j]--
	}
	return c
}
