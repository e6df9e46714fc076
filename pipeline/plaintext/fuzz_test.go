package plaintext

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// seed adds texts to a fuzz target and fails when their number is not the one
// expected, so that a target never runs on nothing.
func seed(f *testing.F, want int, texts ...string) {
	if len(texts) != want {
		f.Fatalf("%d seeds, want %d", len(texts), want)
	}
	for _, text := range texts {
		f.Add([]byte(text))
	}
}

// Whatever the bytes, reading ends; what is accepted is what the standard
// library reads too, and its canonical form is a fixed point.
func FuzzReadSamples(f *testing.F) {
	example := rapid.Custom(drawSamples).Example(1)
	seed(f, 10,
		string(AppendSamples(nil, example)),
		"elapsed_s,power_w\n0,250\n1,\n",
		"power_w,elapsed_s\r\n-0.5,1\r\n1234567890123456789.5,2\r\n",
		"elapsed_s,power_w\n0,1e3\n,\n\n1",
		"elapsed_s,power_w\n\"0\",250\n",
		"\uFEFFelapsed_s,air_c\n0,1",
		"elapsed_s\n0\n", "elapsed_s,elapsed_s\n", "", "elapsed_s,power_w\r0,1\r",
	)
	f.Fuzz(func(t *testing.T, text []byte) {
		samples, problems := ReadSamples(text, "a.csv")
		if (samples == nil) != (len(problems) > 0) {
			t.Fatalf("samples %v with problems %v", samples, problems)
		}
		if samples == nil {
			return
		}
		agree(t, text, samples)
		canonical := AppendSamples(nil, samples)
		isTaken, problems := ReadSamples(canonical, "a.csv")
		if unquoted := bytes.HasPrefix(canonical, []byte("elapsed_s\n")); unquoted {
			return // every channel was blank throughout, so none is written
		}
		if len(problems) > 0 {
			t.Fatalf("%v in\n%s", problems, canonical)
		}
		if twice := AppendSamples(nil, isTaken); !bytes.Equal(twice, canonical) {
			t.Fatalf("written as\n%s\nand then as\n%s", canonical, twice)
		}
	})
}

// agree compares samples with what encoding/csv and strconv make of the text.
func agree(t *testing.T, text []byte, samples *trial.Samples) {
	records, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil || len(records)-1 != samples.Len() {
		t.Fatalf("%d samples, encoding/csv finds %d rows: %v", samples.Len(), len(records)-1, err)
	}
	for j, heading := range records[0] {
		column := *target(samples, heading)
		for i, record := range records[1:] {
			want := units.Missing
			if record[j] != "" {
				if want, err = strconv.ParseFloat(record[j], 64); err != nil {
					t.Fatalf("strconv: %v", err)
				}
			}
			if got := column[i]; got != want && (units.Known(got) || units.Known(want)) {
				t.Fatalf("row %d of %s is %v, strconv reads %v", i, heading, got, want)
			}
		}
	}
}

func FuzzReadBlocks(f *testing.F) {
	context := blockContext{effort: trial.Pace, sessionTarget: 270, timed: true, shoes: []string{"blue", "grey"}}
	example := rapid.Custom(func(t *rapid.T) []trial.Block { return drawBlocks(t, context) }).Example(3)
	seed(f, 6,
		string(AppendBlocks(nil, context.effort, context.sessionTarget, example)),
		"block,shoe,start_s,end_s,target,include,reason\n"+
			"A,blue,0,60,4:30,no,\"fell, hard\"\n"+
			"B,grey,60.5,120,4:29.5,yes,\n",
		"block,shoe,start_s,end_s\nA,,0,0\n",
		"block,shoe\n\"\"\"\"", "\n\n",
		"block,shoe,start_s,end_s,note\r\nA,,0,1,\"a\r\nb\"\r\n")
	f.Fuzz(func(t *testing.T, text []byte) {
		fixedPoint(t, text, func(src source, r *report) []byte {
			blocks, _ := readBlocks(src, context, r)
			return AppendBlocks(nil, context.effort, context.sessionTarget, blocks)
		})
	})
}

func FuzzReadShoes(f *testing.F) {
	seed(f, 5,
		string(AppendShoes(nil, rapid.Custom(drawShoes).Example(5))),
		"id,label\na,A\n", "label,id,mass_g\r\n\"A, \"\"b\"\"\",a,210.55\r\n", "id,label,id\na", "id,label\na,\"\n",
	)
	f.Fuzz(func(t *testing.T, text []byte) {
		fixedPoint(t, text, func(src source, r *report) []byte {
			shoes, _ := readRegister(src, r, shoeRow.shoe)
			return AppendShoes(nil, shoes)
		})
	})
}

// fixedPoint checks that text which is accepted, strictly or leniently, comes
// out in a form that is accepted strictly and comes out the same. A number that
// rounds out of its range (0.01 g, to 0.0) may be refused on the second reading.
func fixedPoint(t *testing.T, text []byte, rewrite func(source, *report) []byte) {
	for _, lenient := range []bool{false, true} {
		var r report
		src, ok := newSource("t.csv", text, lenient, &r)
		if !ok {
			continue
		}
		if lenient {
			src.mend = mendTable
		}
		canonical := rewrite(src, &r)
		if len(r.problems) > 0 {
			continue
		}
		var strict report
		src, _ = newSource("t.csv", canonical, false, &strict)
		isTaken := rewrite(src, &strict)
		if rounded := strings.Contains(lineOf(strict.sorted()), "is out of range") ||
			strings.Contains(lineOf(strict.sorted()), "is not after"); rounded {
			continue
		}
		if len(strict.problems) > 0 || !bytes.Equal(isTaken, canonical) {
			t.Fatalf("%q is written as\n%s\nand then as\n%s\nwith %v", text, canonical, isTaken, strict.problems)
		}
	}
}

func lineOf(problems []trial.Problem) string {
	var all strings.Builder
	for _, p := range problems {
		all.WriteString(p.Error())
	}
	return all.String()
}

// Whatever the bytes, JSON reading ends; it accepts what encoding/json accepts,
// unless that is too deep, and what is accepted has a twin that reads back to the
// same bytes.
func FuzzReadJSON(f *testing.F) {
	seed(f, 12, `"\ud83d\ude00 \/\b\f\t\\"`, `-0.5E+3`, `01`, `{"a":1,}`, `[1 2]`,
		`{"title": "a", "method": {"confidence": 0.95, "races": [{"time": null}]}}`, `[1, -2.50, true, false, null, `+
			`"\u00e9\n"]`, `{"a": {}, "b": []}`, `1e5`, `{"a":1}x`, `[[[[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]]]`, `"\ud800"`)
	f.Fuzz(func(t *testing.T, text []byte) {
		node, ok := jsonNode(text)
		if valid := json.Valid(bytes.TrimPrefix(text, []byte(byteOrderMark))) && utf8.Valid(text); valid != ok &&
			!tooDeep(text) {
			t.Fatalf("%q is accepted: %v, by encoding/json: %v", text, ok, valid)
		}
		if !ok {
			return
		}
		jsonName := node.JSON()
		isTaken, ok := jsonNode(jsonName)
		if !ok || !bytes.Equal(isTaken.JSON(), jsonName) {
			t.Fatalf("%q has the twin\n%s\nwhich does not read back", text, jsonName)
		}
	})
}

func tooDeep(text []byte) bool {
	return bytes.Count(text, []byte{'['})+bytes.Count(text, []byte{'{'}) > MaxDepth
}

func jsonNode(text []byte) (*Node, bool) {
	var r report
	src, ok := newSource("a.json", text, true, &r)
	if !ok {
		return nil, false
	}
	node := parseJSON(src, &r)
	return node, node != nil && len(r.problems) == 0
}
