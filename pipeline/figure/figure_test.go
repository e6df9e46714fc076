package figure

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/units"
)

// element is one element of a parsed figure with its attributes.
type element struct {
	name  string
	attrs map[string]string
	text  string
}

func (e element) num(t *testing.T, name string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(e.attrs[name], 64)
	if err != nil {
		t.Fatalf("<%s> has %s=%q", e.name, name, e.attrs[name])
	}
	return x
}

// parse reads a figure with the standard library's XML parser, the oracle of
// well-formedness, and returns its elements in document order.
func parse(t testing.TB, svg []byte) []element {
	t.Helper()
	decoder := xml.NewDecoder(bytes.NewReader(svg))
	var elements []element
	var open []int
	for {
		token, err := decoder.Token()
		if err == io.EOF {
			return elements
		}
		if err != nil {
			t.Fatalf("not well-formed: %v\n%s", err, svg)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{name: token.Name.Local, attrs: map[string]string{}}
			for _, a := range token.Attr {
				if _, twice := e.attrs[a.Name.Local]; twice {
					t.Errorf("<%s> has %s twice", e.name, a.Name.Local)
				}
				e.attrs[a.Name.Local] = a.Value
			}
			open = append(open, len(elements))
			elements = append(elements, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				elements[open[len(open)-1]].text += string(token)
			}
		}
	}
}

func with(elements []element, class string) []element {
	var found []element
	for _, e := range elements {
		for _, c := range strings.Fields(e.attrs["class"]) {
			if c == class {
				found = append(found, e)
			}
		}
	}
	return found
}

func words(elements []element) string {
	var b strings.Builder
	for _, e := range elements {
		b.WriteString(e.text + "\n")
	}
	return b.String()
}

var missing = units.Missing

// gallery has every figure, with the same hostile label wherever text goes.
func gallery(label string) map[string]interface{ SVG(Width) []byte } {
	head := Head{ID: "x", Title: label, Desc: label}
	e := Estimate{1.5, 0.5, 2.5}
	line := TraceLine{Shoe: 1, Seconds: []float64{0, 1, 2}, Values: []float64{1, missing, 3}, Gap: 5}
	return map[string]interface{ SVG(Width) []byte }{
		"ranking": Ranking{Head: head, Axis: label, Unit: label,
			Rows: []RankingRow{{Label: label, Estimate: e}, {Label: label, Shoe: 1, Reference: true},
				{Label: label, Shoe: 9, Estimate: Estimate{1, missing, missing}}}},
		"order": Order{Head: head, LimitPct: 3,
			Blocks: []OrderBlock{{Label: label, Start: 0, End: 300, From: 60, To: 285, OffPct: 1},
				{Label: label, Shoe: 1, Start: 400, End: 700, OffPct: missing, Excluded: true}}},
		"trace": Trace{Head: head, Axis: label, Span: 2, From: 1, To: 2, Lines: []TraceLine{line}},
		"multiples": Multiples{Trace: Trace{Head: head, Axis: label, Span: 2, From: 1, To: 2,
			Lines: []TraceLine{line, {Shoe: NoShoe, Seconds: []float64{0}, Values: []float64{2}}}},
			Labels: map[int]string{1: label, NoShoe: label}},
		"no panels": Multiples{Trace: Trace{Head: head, From: missing, To: missing}},
		"to date": Progress{Head: head, Axis: label, Steps: []Step{{Label: label, Cumulative: e},
			{Label: label, Cumulative: Estimate{1, missing, missing}}}},
		"weight": Weight{Head: head, Axis: label, Unit: label, Measured: e, Expected: Estimate{1, 0.8, 1.1},
			Rest: Estimate{0.5, -0.5, 1.5}},
		"nothing": Ranking{Head: head}, "no blocks": Order{Head: head}, "no lines": Trace{Head: head},
		"no steps": Progress{Head: head},
		"no weight": Weight{Head: head, Measured: Estimate{missing, missing, missing},
			Expected: Estimate{missing, missing, missing}, Rest: Estimate{missing, missing, missing}},
	}
}

func TestEveryFigureIsSound(t *testing.T) {
	for name, f := range gallery("plain") {
		for _, width := range []Width{Narrow, Wide} {
			svg := f.SVG(width)
			if !bytes.Equal(svg, f.SVG(width)) {
				t.Errorf("%s: two drawings differ", name)
			}
			elements := parse(t, svg)
			root, id := elements[0], "x-"+strconv.Itoa(int(width))
			if root.attrs["role"] != "img" || root.attrs["aria-labelledby"] != id+"-title "+id+"-desc" {
				t.Errorf("%s: the root is %v", name, root.attrs)
			}
			if elements[1].name != "title" || elements[1].attrs["id"] != id+"-title" || elements[2].name != "desc" ||
				elements[2].attrs["id"] != id+"-desc" {
				t.Errorf("%s: title and desc do not come first", name)
			}
			for _, e := range elements {
				if e.attrs["style"] != "" || e.name == "style" || e.name == "script" || e.attrs["href"] != "" {
					t.Errorf("%s: <%s> breaks a strict content security policy", name, e.name)
				}
			}
			if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("Inf")) {
				t.Errorf("%s: a missing number was drawn:\n%s", name, svg)
			}
		}
	}
}

// Well-formedness of any text follows XML 1.0 (production 2, Char): the decoder
// refuses what is outside it.
func TestAnyTextIsShownAsText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		label := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{
			"<script>alert(1)</script>", `"><svg onload=x>`, "]]>", "&amp;", "\x00\x1b[31m", "\u202egnp.exe",
			"\xff\xfe", "a\u2066b\u2069", "\ufffe", strings.Repeat("W", 400),
		})).Draw(t, "label")
		for _, f := range gallery(label) {
			svg := f.SVG(Narrow)
			decoder := xml.NewDecoder(bytes.NewReader(svg))
			for {
				token, err := decoder.Token()
				if err == io.EOF {
					break
				}
				if err != nil {
					t.Fatalf("%q: %v", label, err)
				}
				if start, ok := token.(xml.StartElement); ok && start.Name.Local == "script" {
					t.Fatalf("%q became an element", label)
				}
			}
			if Visible(string(svg)) != string(svg) {
				t.Fatalf("%q left something unseen in the figure", label)
			}
		}
	})
}

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"plain\tand\nlines": "plain\tand\nlines", "a\x00b": "a\ufffdb", "a\x1bb": "a\ufffdb", "a\u202eb": "a\ufffdb",
		"a\u200fb": "a\ufffdb",
		"\xffa":    "\ufffda", "\ufeffa": "\ufffda", "\U0001fffea": "\ufffda", "é ж 走 👟": "é ж 走 👟",
		"a\u0085b":                   "a\ufffdb",
		"Ash, אבן לבנה, רך: +2.40 %": "Ash, \u2068אבן לבנה\u2069, \u2068רך\u2069: +2.40 %",
		"<b>نعل</b> 7":               "<b>\u2068نعل\u2069</b> 7",
		"א- ב'ג -1":                  "\u2068א\u2069- \u2068ב'ג\u2069 -1", "\u2068א": "\ufffd\u2068א\u2069",
		"\u2068a\u2069": "\ufffda\ufffd", "א\u2069": "\u2068א\u2069\ufffd",
	} {
		if got := Visible(text); got != want {
			t.Errorf("Visible(%q) = %q, want %q", text, got, want)
		} else if again := Visible(got); again != got {
			t.Errorf("Visible(%q) is %q, and done again %q", text, got, again)
		}
	}
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 0.011) { // coordinates are rounded to 0.01
		t.Errorf("%s at %v, want %v", what, got, want)
	}
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi   float64
		most     int
		want     []float64
		decimals int
	}{
		{-1.05, 3.05, 5, []float64{-1, 0, 1, 2, 3}, 0}, {0, 1, 6, []float64{0, 0.2, 0.4, 0.6, 0.8, 1}, 1}, {238, 291, 4,
			[]float64{240, 260, 280}, 0},
		{-0.02, 0.03, 6, []float64{-0.02, -0.01, 0, 0.01, 0.02, 0.03}, 2}, {0, 90000, 3, []float64{0, 50000}, 0},
	} {
		got, decimals := ticks(c.lo, c.hi, c.most)
		if len(got) != len(c.want) || decimals != c.decimals {
			t.Errorf("ticks(%v, %v) = %v with %d decimals, want %v with %d", c.lo, c.hi, got, decimals, c.want,
				c.decimals)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-12 {
				t.Errorf("ticks(%v, %v) = %v, want %v", c.lo, c.hi, got, c.want)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e6, 1e6).Draw(t, "lo")
		hi := lo + rapid.Float64Range(1e-3, 1e6).Draw(t, "span")
		values, _ := ticks(lo, hi, 6)
		if len(values) > 6 {
			t.Fatalf("%d ticks", len(values))
		}
		for i, v := range values {
			if v < lo-1e-9*math.Abs(lo) || v > hi+1e-9*math.Abs(hi) || i > 0 && v <= values[i-1] {
				t.Fatalf("tick %v of %v..%v", v, lo, hi)
			}
		}
	})
}

func TestWords(t *testing.T) {
	for want, e := range map[string]Estimate{
		"+1.80\u00a0% (+0.60 to +3.00)": {1.8, 0.6, 3}, "\u22120.40\u00a0% (\u22121.20 to +0.40)": {-0.4, -1.2, 0.4},
		"+1.00\u00a0%, no interval": {1, missing, missing}, "not estimable": {missing, missing,
			missing}, "0.00\u00a0% (0.00 to 0.00)": {0.001, -0.001, 0.004},
	} {
		if got := e.Words(2, "%"); got != want {
			t.Errorf("%+v reads %q, want %q", e, got, want)
		}
	}
	for e, want := range map[Estimate]bool{{1, 0.1, 2}: true, {1, -0.1, 2}: false, {-1, -2, -0.1}: true,
		{1, 0, 2}: false} {
		if e.Apart() != want {
			t.Errorf("%+v apart: %v", e, !want)
		}
	}
	if (Estimate{1, missing, missing}).Apart() {
		t.Error("an estimate without interval tells something apart")
	}
	for shoe, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 27: "AB", 52: "BA"} {
		if got := Letter(shoe); got != want {
			t.Errorf("shoe %d is %q, want %q", shoe, got, want)
		}
	}
}

// Colour with dash, and colour with mark, tell 64 shoes apart.
func TestSecondCode(t *testing.T) {
	seen := map[string]bool{}
	for shoe := range 64 {
		key := ColourClass(shoe) + "/" + strconv.Itoa(variant(shoe))
		if seen[key] {
			t.Errorf("shoe %d looks like another: %s", shoe, key)
		}
		seen[key] = true
	}
	if got, want := [2]int{len(dashes), len(markers)}, [2]int{len(palette), len(palette)}; got != want {
		t.Errorf("%v dashes and marks, want %v as there are colours", got, want)
	}
	parse(t, Swatch(3))
}

// No shoe has a letter, a colour, a mark and a dash that no shoe has.
func TestNoShoeIsLikeNone(t *testing.T) {
	for shoe := range 64 {
		if Letter(shoe) == Letter(NoShoe) || ColourClass(shoe) == ColourClass(NoShoe) ||
			colour(shoe) == colour(NoShoe) || dashOf(shoe) == dashOf(NoShoe) {
			t.Errorf("shoe %d looks like none: %s %s", shoe, Letter(shoe), ColourClass(shoe))
		}
		if outline := outlineOf(shoe); outline != nil && slices.Equal(outline, outlineOf(NoShoe)) {
			t.Errorf("shoe %d has the mark of none", shoe)
		}
	}
	if text := string(Swatch(NoShoe)); !strings.Contains(text, "shoe-none") || !strings.Contains(text, noShoeGrey) {
		t.Errorf("swatch %s", text)
	}
}
