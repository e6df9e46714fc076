package app

import (
	"bytes"
	"slices"
	"sort"
	"strings"

	"soletrial/pipeline/checksum"
	"soletrial/pipeline/derive"
	"soletrial/viewer/load"
)

// tablesFolder is where the derived tables are, below the bundle.
const tablesFolder = "derived/"

// TableState says how a table made here compares with the published one.
type TableState int

// The states of a table.
const (
	Identical   TableState = iota
	Differs                // made here, the bytes are others than the index names
	Altered                // made here as the index names it, but the site serves other bytes
	Unpublished            // made here, not named by the index
	NotDerived             // named by the index, not made here
)

// TableCheck is the comparison of one derived table, by name relative to the
// folder of tables.
type TableCheck struct {
	Name                  string
	State                 TableState
	Published, Recomputed string // SHA-256 in hexadecimal, of the published table and of the one made here; "" for none

	// The first line that differs, counting from 1, as published and as made
	// here; 0 when there is nothing to compare.
	Line                          int
	LinePublished, LineRecomputed string
}

// Check is the comparison of all tables, sorted by name.
type Check []TableCheck

// Differing lists the tables that are not identical.
func (c Check) Differing() []TableCheck {
	return slices.DeleteFunc(slices.Clone(c), func(t TableCheck) bool { return t.State == Identical })
}

// checkTables compares the tables made here with the published ones.
func checkTables(bundle *load.Bundle, tables []derive.Table) Check {
	made := map[string][]byte{}
	for _, table := range tables {
		made[table.Name] = table.Text
	}
	var check Check
	for _, file := range bundle.Index.Derived {
		name := strings.TrimPrefix(file.Path, tablesFolder)
		check = append(check, checkTable(name, file.SHA256, bundle.Derived[file.Path], made[name]))
		delete(made, name)
	}
	for name, text := range made { // sorted below
		check = append(check, TableCheck{Name: name, State: Unpublished, Recomputed: checksum.SHA256(text)})
	}
	sort.Slice(check, func(i, j int) bool { return check[i].Name < check[j].Name })
	return check
}

// checkTable compares one table with the hash the index gives and with the bytes
// the site serves, nil when they could not be had.
func checkTable(name, hash string, served, made []byte) TableCheck {
	t := TableCheck{Name: name, Published: hash}
	if made == nil {
		t.State = NotDerived
		return t
	}
	t.Recomputed = checksum.SHA256(made)
	switch {
	case t.Recomputed != hash:
		t.State = Differs
	case served != nil && checksum.SHA256(served) != hash:
		t.State, t.Published = Altered, checksum.SHA256(served)
	}
	if t.State != Identical && served != nil {
		t.Line, t.LinePublished, t.LineRecomputed = firstDifference(served, made)
	}
	return t
}

// firstDifference returns the first line in which two texts differ; 0 when they
// are the same.
func firstDifference(published, here []byte) (line int, a, b string) {
	for line = 1; len(published) > 0 || len(here) > 0; line++ {
		var p, h []byte
		p, published, _ = bytes.Cut(published, []byte{'\n'})
		h, here, _ = bytes.Cut(here, []byte{'\n'})
		if !bytes.Equal(p, h) {
			return line, string(p), string(h)
		}
	}
	return 0, "", ""
}
