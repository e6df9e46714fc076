package exact_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"soletrial/pipeline/crew"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/exact"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
)

// all has a field of every kind that can be written.
type all struct {
	Text    string
	Number  float64
	Yes     bool
	Whole   int
	Bits    uint32
	Bytes   []byte
	List    []inner
	Array   [3]float64
	Pair    [2]inner
	Pointer *inner
	Map     map[string]inner
}

// inner has what may be there in one item and not in the next.
type inner struct {
	Name    word
	Value   float64
	Numbers []float64
	Sum     [4]byte
	Pointer *word
	Map     map[word]int32
}

type word string

func drawInner(t *rapid.T, label string) inner {
	drawn := inner{Name: word(rapid.String().Draw(t, label)), Value: math.Float64frombits(rapid.Uint64().Draw(t, label))}
	for range rapid.IntRange(0, 2).Draw(t, label) {
		drawn.Numbers = append(drawn.Numbers, rapid.Float64().Draw(t, label))
	}
	if rapid.Bool().Draw(t, label) {
		name := drawn.Name
		drawn.Sum, drawn.Pointer, drawn.Map = [4]byte{1, 255, 0, 7}, &name, map[word]int32{name: -1}
	}
	return drawn
}

func drawAll(t *rapid.T) all {
	a := all{
		Text: rapid.String().Draw(t, "text"), Number: math.Float64frombits(rapid.Uint64().Draw(t, "number")), Yes: rapid.Bool().Draw(t, "yes"),
		Whole: rapid.Int().Draw(t, "whole"), Bits: rapid.Uint32().Draw(t, "bits"), Bytes: rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"),
	}
	for i := range a.Array {
		a.Array[i] = rapid.Float64().Draw(t, "array")
	}
	for i := range a.Pair {
		a.Pair[i] = drawInner(t, "pair")
	}
	if n := rapid.IntRange(-1, 3).Draw(t, "list"); n >= 0 {
		a.List = make([]inner, n)
		for i := range a.List {
			a.List[i] = drawInner(t, "item")
		}
	}
	if rapid.Bool().Draw(t, "pointer") {
		x := drawInner(t, "pointed at")
		a.Pointer = &x
	}
	if rapid.Bool().Draw(t, "map") {
		a.Map = map[string]inner{}
		for range rapid.IntRange(0, 3).Draw(t, "pairs") {
			a.Map[rapid.String().Draw(t, "key")] = drawInner(t, "value")
		}
	}
	return a
}

// sameBits compares numbers by their bits, so that one NaN is not another.
var sameBits = cmp.Comparer(func(a, b float64) bool { return math.Float64bits(a) == math.Float64bits(b) })

func TestReadGivesWhatWasWritten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := drawAll(t)
		text := exact.Append(nil, want)
		got, err := exact.Read[all](text)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got, sameBits); diff != "" {
			t.Fatal(diff)
		}
		if again := exact.Append(nil, got); !bytes.Equal(again, text) {
			t.Fatal("the same value gives other bytes")
		}
		over, err := exact.ReadOver[all](text)
		if diff := cmp.Diff(want, over, sameBits); err != nil || diff != "" {
			t.Fatal(err, diff)
		}
		over.Bytes = append(over.Bytes, 'x')
		if !bytes.Equal(exact.Append(nil, want), text) {
			t.Fatal("what is appended to bytes goes into what they lie in")
		}
	})
}

// Damaged bytes are an error or another value, and never a panic; cut short, or
// with something after them, they are an error.
func TestReadOfDamagedBytes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := exact.Append(nil, drawAll(t))
		cut := rapid.IntRange(0, len(text)-1).Draw(t, "cut")
		if _, err := exact.Read[all](text[:cut]); err == nil {
			t.Fatalf("%d of %d bytes are read", cut, len(text))
		}
		if _, err := exact.ReadOver[all](text[:cut]); err == nil {
			t.Fatalf("%d of %d bytes are read over", cut, len(text))
		}
		if _, err := exact.Read[all](append(bytes.Clone(text), 0)); err == nil {
			t.Fatal("a byte too many is passed over")
		}
		damaged := bytes.Clone(text)
		damaged[cut] ^= byte(rapid.IntRange(1, 255).Draw(t, "flip"))
		exact.Read[all](damaged)
	})
}

// What was read keeps what it says when its bytes, and the next value, go another
// way, also while others write and read values of the type.
func TestValuesHaveNothingInCommon(t *testing.T) {
	at := func(i int) all {
		name := word(strings.Repeat("x", i%7))
		return all{Text: string(name), Bytes: []byte{byte(i)}, List: []inner{{Name: name, Numbers: []float64{float64(i)}, Pointer: &name}, {}}, Map: map[string]inner{"k": {Map: map[word]int32{name: int32(i)}}}}
	}
	got := make([]all, 200)
	crew.Do(4, len(got), func(i int) {
		text := exact.Append(nil, at(i))
		got[i], _ = exact.Read[all](text)
		clear(text)
	})
	for i := range got {
		if diff := cmp.Diff(at(i), got[i]); diff != "" {
			t.Fatalf("value %d:\n%s", i, diff)
		}
	}
}

// What is kept of a session can be written down to its last field.
func TestWhatIsKeptCanBeWritten(t *testing.T) {
	exact.Append(nil, trial.Session{})
	exact.Append(nil, trial.Dataset{})
	exact.Append(nil, derive.SessionResult{})
	exact.Append(nil, derive.Rows{})
	defer func() {
		if recover() == nil {
			t.Error("a field that is not exported is passed over")
		}
	}()
	exact.Append(nil, struct{ hidden int }{})
}

func FuzzRead(f *testing.F) {
	seeds := []all{{}, {Text: "x", List: []inner{{Name: "a", Value: 1}}, Map: map[string]inner{"k": {}}, Pointer: &inner{}}}
	for _, seed := range seeds {
		f.Add(exact.Append(nil, seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		value, err := exact.Read[all](text)
		if err != nil {
			return
		}
		again, err := exact.Read[all](exact.Append(nil, value))
		if diff := cmp.Diff(value, again, sameBits); err != nil || diff != "" {
			t.Fatal(err, diff)
		}
	})
}

// kept is much like what is kept of a session of eight blocks.
func kept() derive.SessionResult {
	var result derive.SessionResult
	for i := range 8 {
		block := derive.Block{Included: true}
		block.Session, block.Block, block.Shoe = "2026-05-02", string(rune('1'+i)), []string{"grey", "blue"}[i%2]
		result.Blocks = append(result.Blocks, block)
		result.Ratios = append(result.Ratios, sensor.Ratio{Block: block.Block, Shoe: block.Shoe, Check: "lap", Value: 1})
	}
	return result
}

func BenchmarkAppend(b *testing.B) {
	value := kept()
	b.ReportAllocs()
	for b.Loop() {
		exact.Append(nil, value)
	}
}

func BenchmarkRead(b *testing.B) {
	text := exact.Append(nil, kept())
	b.ReportAllocs()
	for b.Loop() {
		if _, err := exact.Read[derive.SessionResult](text); err != nil {
			b.Fatal(err)
		}
	}
}
