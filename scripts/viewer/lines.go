package main

import (
	"bytes"
	"encoding/binary"
	"strings"
)

// The table by which a Go program knows its functions, as runtime/symtab.go of the
// toolchain describes it: a header, the functions' names, files, the tables that
// tell the size of a frame, the file and the line for every place in the code, and
// one record for each function.
const (
	tableMagic  = 0xfffffff1 // since Go 1.20
	headerWords = 8          // behind the magic number and the sizes, eight bytes each

	recordName   = 4 // places of 32-bit numbers in a function's record
	recordFrame  = 16
	recordFile   = 20
	recordLine   = 24
	recordTables = 28 // how many more tables the function has
	recordHead   = 44
)

// functionTable is the table with its parts, all of them slices of one memory.
type functionTable struct {
	names, files, tables, records []byte
	count                         int
}

// blankLines overwrites, in the segments that a module starts with, what only serves
// to print where a program was when it crashed: file names, line tables and the
// names of functions. They are a fifteenth of the packed module. What the collector
// and the scheduler read stays as it is, the names of the runtime's and of
// reflect's functions among it; a crash is then told without places, and building
// the program without this step tells them.
func blankLines(segments []segment) error {
	t, err := findTable(segments)
	if err != nil {
		return err
	}
	needed := make([]bool, len(t.tables))
	for i := range t.count {
		record, err := t.record(i)
		if err != nil {
			return err
		}
		binary.LittleEndian.PutUint32(record[recordFile:], 0) // 0: there is none
		binary.LittleEndian.PutUint32(record[recordLine:], 0)
		wanted := []uint32{number(record, recordFrame)}
		for k := range int(number(record, recordTables)) {
			if len(record) < recordHead+4*k+4 {
				return errFormat
			}
			wanted = append(wanted, number(record, recordHead+4*k))
		}
		for _, at := range wanted {
			if !t.need(needed, int(at)) {
				return errFormat
			}
		}
		t.blankName(int(number(record, recordName)))
	}
	for i := range t.tables {
		if !needed[i] {
			t.tables[i] = 0
		}
	}
	clear(t.files)
	return nil
}

func number(record []byte, at int) uint32 { return binary.LittleEndian.Uint32(record[at:]) }

// findTable finds the one table in the segments, by its magic number and sizes.
func findTable(segments []segment) (*functionTable, error) {
	mark := binary.LittleEndian.AppendUint32(nil, tableMagic)
	mark = append(mark, 0, 0, 1, 8) // instructions of one byte, pointers of eight
	var table []byte
	found := 0
	for _, s := range segments {
		if at := bytes.Index(s.bytes, mark); at >= 0 {
			table, found = s.bytes[at:], found+bytes.Count(s.bytes, mark)
		}
	}
	if found != 1 || len(table) < 8*(headerWords+1) {
		return nil, errFormat
	}
	var words [headerWords]int
	for i := range words {
		word := binary.LittleEndian.Uint64(table[8+8*i:])
		if word > uint64(len(table)) {
			return nil, errFormat
		}
		words[i] = int(word)
	}
	// Number of functions and of files, one that is not used, and where the names,
	// the units, the files, the tables and the records begin.
	names, units, files, tables, records := words[3], words[4], words[5], words[6], words[7]
	if !(names <= units && units <= files && files <= tables && tables <= records) || records+8*words[0] > len(table) {
		return nil, errFormat
	}
	return &functionTable{names: table[names:units], files: table[files:tables], tables: table[tables:records], records: table[records:], count: words[0]}, nil
}

// record returns the record of the i-th function and what follows it.
func (t *functionTable) record(i int) ([]byte, error) {
	at := number(t.records, 8*i+4)
	if int64(at)+recordHead > int64(len(t.records)) {
		return nil, errFormat
	}
	return t.records[at:], nil
}

// need marks the bytes of one table: pairs of variable-length numbers, ended by a
// zero where a pair's first would be, which only the first pair may have.
func (t *functionTable) need(needed []bool, at int) bool {
	if at == 0 {
		return true // there is none
	}
	for first := true; at < len(t.tables); first = false {
		if !first && t.tables[at] == 0 {
			needed[at] = true
			return true
		}
		for range 2 {
			for more := true; more; at++ {
				if at >= len(t.tables) {
					return false
				}
				needed[at], more = true, t.tables[at]&0x80 != 0
			}
		}
	}
	return false
}

// blankName overwrites a name unless the runtime may look at it: it counts its own
// goroutines, and knows two functions of reflect, by their names.
func (t *functionTable) blankName(at int) {
	if at < 0 || at >= len(t.names) {
		return
	}
	name, _, _ := bytes.Cut(t.names[at:], []byte{0})
	if !strings.HasPrefix(string(name), "runtime") && !strings.HasPrefix(string(name), "reflect.") {
		clear(name)
	}
}
