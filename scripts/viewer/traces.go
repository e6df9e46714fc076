package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"slices"
)

// The head of the table of functions that every Go program carries (runtime.pcHeader and
// runtime._func in Go's runtime/symtab.go and runtime/runtime2.go), for a WebAssembly module.
const (
	headBytes     = 8 + 8*8 // magic and sizes, then eight numbers of 8 bytes
	functionBytes = 44      // of a function, before the offsets of its tables
	atName        = 4       // in a function: where its name is
	atStack       = 16      // where its table of stack sizes is
	atFile        = 20      // where its table of files is
	atLine        = 24      // where its table of lines is
	atTables      = 28      // how many more tables it has
	atUnit        = 32      // where the files of its unit are
	atStart       = 36      // the line that it starts at
)

// functionMagic begins the table: its version, two zeros, instructions of one byte, addresses
// of eight.
var functionMagic = []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}

var errFunctions = errors.New("the table of functions is not the one that this Go is known to write: " +
	"compare scripts/viewer/traces.go with runtime/symtab.go")

// keptNames are the functions by whose names the runtime knows its own goroutines
// (runtime.isSystemGoroutine).
var keptNames = [][]byte{[]byte("runtime.main"), []byte("runtime.bgsweep"), []byte("runtime.bgscavenge"),
	[]byte("runtime.forcegchelper"), []byte("runtime.runFinalizers"), []byte("runtime.runCleanups")}

// emptyTraces blanks, in the memory that a module starts with, what serves only to print the
// trace of a panic: names of functions and files, and numbers of lines. The explorer shows no
// traces, and these are a tenth of the compressed program. What the runtime needs to
// unwind a stack and to collect garbage stays as it is.
func emptyTraces(segments []segment) error {
	for _, s := range segments {
		at := bytes.Index(s.bytes, functionMagic)
		if at < 0 {
			continue
		}
		t, err := openFunctions(s.bytes[at:])
		if err == nil {
			err = t.empty()
		}
		return err
	}
	return errFunctions
}

// functions are the parts of the table of functions.
type functions struct {
	names, files []byte // names of functions; files by unit and their names
	tables       []byte // numbers by place in the code, of all functions
	list         []byte // every function, after the places where they begin
	count        int
}

func openFunctions(table []byte) (functions, error) {
	var at [8]int
	for i := range at {
		if len(table) < headBytes {
			return functions{}, errFunctions
		}
		at[i] = int(binary.LittleEndian.Uint64(table[8+8*i:]))
	}
	count, names, units, tables, list := at[0], at[3], at[4], at[6], at[7]
	sorted := headBytes <= names && names <= units && units <= tables && tables <= list && list <= len(table)
	if !sorted || count <= 0 || len(table) < list+8*count {
		return functions{}, errFunctions
	}
	return functions{table[names:units], table[units:tables], table[tables:list], table[list:], count}, nil
}

// empty blanks names, files and lines, and keeps every other table.
func (f functions) empty() error {
	kept := make([]bool, len(f.tables))
	keep := func(from uint32) error {
		length, ok := tableLength(f.tables, int(from))
		for i := range length {
			kept[int(from)+i] = true
		}
		if !ok {
			return errFunctions
		}
		return nil
	}
	for i := range f.count {
		at := int(binary.LittleEndian.Uint32(f.list[8*i+4:]))
		if at+functionBytes > len(f.list) {
			return errFunctions
		}
		function := f.list[at:]
		for _, place := range []int{atFile, atLine, atUnit, atStart} {
			clear(function[place : place+4])
		}
		if !f.keepsName(binary.LittleEndian.Uint32(function[atName:])) {
			clear(function[atName : atName+4]) // the name at 0 is blank
		}
		more := int(binary.LittleEndian.Uint32(function[atTables:]))
		if more > 16 || functionBytes+4*more > len(function) {
			return errFunctions
		}
		if err := keep(binary.LittleEndian.Uint32(function[atStack:])); err != nil {
			return err
		}
		for k := range more {
			if err := keep(binary.LittleEndian.Uint32(function[functionBytes+4*k:])); err != nil {
				return err
			}
		}
	}
	for i := range f.tables {
		if !kept[i] {
			f.tables[i] = 0
		}
	}
	clear(f.files)
	emptyNames(f.names)
	if len(f.names) == 0 || f.names[0] != 0 {
		return errFunctions
	}
	return nil
}

// keepsName reports whether the name at a place is one of [keptNames].
func (f functions) keepsName(at uint32) bool {
	if int64(at) >= int64(len(f.names)) {
		return false
	}
	name, _, _ := bytes.Cut(f.names[at:], []byte{0})
	return slices.ContainsFunc(keptNames, func(kept []byte) bool { return bytes.Equal(name, kept) })
}

// tableLength is how long a table of numbers by place in the code is: pairs of varints up to a
// first one that is zero, which the first pair may have. None is at 0.
func tableLength(tables []byte, from int) (length int, ok bool) {
	if from == 0 {
		return 0, true
	}
	at := from
	for first := true; ; first = false {
		if at >= len(tables) || at < 0 {
			return 0, false
		}
		if tables[at] == 0 && !first {
			return at + 1 - from, true
		}
		for range 2 {
			_, n := binary.Uvarint(tables[at:])
			if n <= 0 {
				return 0, false
			}
			at += n
		}
	}
}

// emptyNames blanks the names, each of which ends in a zero, but for those kept.
func emptyNames(names []byte) {
	for len(names) > 0 {
		end := bytes.IndexByte(names, 0)
		if end < 0 {
			end = len(names) - 1
		}
		if !slices.ContainsFunc(keptNames, func(kept []byte) bool { return bytes.Equal(names[:end], kept) }) {
			clear(names[:end])
		}
		names = names[end+1:]
	}
}
