package main

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A comparer that finds nothing is worth nothing: every fault put into a table
// must be named, with its place.
func TestDifferencesNamesThePlace(t *testing.T) {
	want := tables{"blocks.csv": []byte("block,Δ\n1,0.5\n2,ö0.25\n"), "sensor.csv": []byte("x\n")}
	for _, c := range []struct {
		name string
		got  tables
		said []string
	}{
		{"the same", tables{"blocks.csv": []byte("block,Δ\n1,0.5\n2,ö0.25\n"), "sensor.csv": []byte("x\n")}, nil},
		{"a digit", tables{"blocks.csv": []byte("block,Δ\n1,0.5\n2,ö0.26\n"), "sensor.csv": []byte("x\n")},
			[]string{`blocks.csv:3:7: "6\n", not "5\n"`}},
		{
			"after a wide character",
			tables{"blocks.csv": []byte("block,Δ!\n1,0.5\n2,ö0.25\n"), "sensor.csv": []byte("x\n")},
			[]string{`blocks.csv:1:8: "!\n", not "\n"`},
		},
		{"line ends", tables{"blocks.csv": []byte("block,Δ\r\n1,0.5\r\n2,ö0.25\r\n"), "sensor.csv": []byte("x\n")},
			[]string{`blocks.csv:1:8: "\r\n", not "\n"`}},
		{"cut off", tables{"blocks.csv": []byte("block,Δ\n1,0.5\n"), "sensor.csv": []byte("x\n")},
			[]string{`blocks.csv:3:1: "", not "2,ö0.25\n"`}},
		{"longer", tables{"blocks.csv": []byte("block,Δ\n1,0.5\n2,ö0.25\n3"), "sensor.csv": []byte("x\n")},
			[]string{`blocks.csv:4:1: "3", not ""`}},
		{"not there", tables{"blocks.csv": want["blocks.csv"]}, []string{"sensor.csv: is not made"}},
		{"one more", tables{"blocks.csv": want["blocks.csv"], "sensor.csv": []byte("x\n"), "a.csv": nil},
			[]string{"a.csv: is made, but should not be"}},
		{"two of them", tables{"blocks.csv": []byte("Block,"), "sensor.csv": []byte("x")},
			[]string{`blocks.csv:1:1: "Block,", not "block,Δ\n"`, `sensor.csv:1:2: "", not "\n"`}},
	} {
		if said := differences(want, c.got); !slices.Equal(said, c.said) {
			t.Errorf("%s: %q, want %q", c.name, said, c.said)
		}
	}
}

func TestAnyChangedByteIsNoticed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := []byte(rapid.StringMatching(`[a-z,\n0-9]{1,60}`).Draw(t, "table"))
		changed := bytes.Clone(text)
		at := rapid.IntRange(0, len(text)-1).Draw(t, "at")
		changed[at] ^= byte(1 << rapid.IntRange(0, 6).Draw(t, "bit"))
		said := differences(tables{"t": text}, tables{"t": changed})
		line := strings.Count(string(text[:at]), "\n") + 1
		if len(said) != 1 || !strings.HasPrefix(said[0],
			"t:"+strconv.Itoa(line)+":"+strconv.Itoa(at-strings.LastIndex(string(text[:at]), "\n"))+":") {
			t.Fatalf("byte %d of %q changed, said %q", at, text, said)
		}
	})
}

func TestParse(t *testing.T) {
	got, err := parse([]byte("4 a.csv\nx\ny\n0 b.csv\n"))
	if err != nil || len(differences(tables{"a.csv": []byte("x\ny\n"), "b.csv": nil}, got)) > 0 {
		t.Errorf("got %q, %v", got, err)
	}
	for _, broken := range []string{"", "panic: no", "5 a.csv\nx\ny\n", "4 a.csv\nx\ny\nmore"} {
		if got, err := parse([]byte(broken)); err == nil {
			t.Errorf("%q is taken for %q", broken, got)
		}
	}
}

// The run as a whole fails when one way gives one other byte.
func TestOneWayThatDiffers(t *testing.T) {
	right := tables{"comparisons.csv": []byte("speed,2.64\n"), "sensor.csv": []byte("x\n")}
	wrong := tables{"comparisons.csv": []byte("speed,2.65\n"), "sensor.csv": []byte("x\n")}
	give := func(name string, t tables) way { return way{name, func(set) (tables, error) { return t, nil }} }
	for _, c := range []struct {
		committed tables
		ways      []way
		differ    int
	}{
		{nil, []way{give("a", right), give("b", right)}, 0},
		{nil, []way{give("a", right), give("b", wrong), give("c", right)}, 1},
		{right, []way{give("a", wrong), give("b", wrong)}, 2},
	} {
		var sum tally
		if err := (set{name: "s", tables: c.committed}).compare(c.ways, &sum); err != nil || sum.differ != c.differ ||
			sum.runs != len(c.ways) {
			t.Errorf("%d ways: %+v, %v, want %d that differ", len(c.ways), sum, err, c.differ)
		}
	}
}
