package figure

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func threeShoes() Ranking {
	return Ranking{Head: Head{ID: "r"}, Unit: "%", Decimals: 1, Rows: []RankingRow{
		{Label: "Kestrel", Shoe: 2, Estimate: Estimate{2, 1, 3}},
		{Label: "Brindle", Shoe: 0, Estimate: Estimate{1, -0.5, 2.5}},
		{Label: "Harrow", Shoe: 1, Reference: true},
	}}
}

// The scale of threeShoes runs over -0.5..3, widened by a twentieth at each end:
// -0.675..3.175.
func TestRankingGeometry(t *testing.T) {
	for width, edges := range map[Width][2]float64{Narrow: {14, 360 - 14}, Wide: {0.27 * 720, 0.7 * 720}} {
		elements := parse(t, threeShoes().SVG(width))
		at := func(v float64) float64 { return edges[0] + (v+0.675)/3.85*(edges[1]-edges[0]) }
		zero := strings.FieldsFunc(with(elements, "zero")[0].attrs["d"],
			func(r rune) bool { return r == 'M' || r == ' ' || r == 'V' })
		x, err := strconv.ParseFloat(zero[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "the line at zero", x, at(0))
		whiskers := with(elements, "whisker")
		if len(whiskers) != 2 {
			t.Fatalf("%d whiskers, want one for each interval", len(whiskers))
		}
		near(t, "low end", whiskers[0].num(t, "x1"), at(1))
		near(t, "high end", whiskers[0].num(t, "x2"), at(3))
		near(t, "low end below zero", whiskers[1].num(t, "x1"), at(-0.5))
		for _, e := range elements {
			if e.name == "circle" && e.attrs["cx"] != "" && e.attrs["r"] == "6" {
				near(t, "the mark", e.num(t, "cx"), at(1))
			}
		}
		if !strings.Contains(words(elements), "+2.0\u00a0% (+1.0 to +3.0)") {
			t.Errorf("the words are %q", words(elements))
		}
	}
}

func TestNoIntervalIsHollowAndSaysSo(t *testing.T) {
	r := threeShoes()
	r.Rows[0].Estimate = Estimate{2, missing, missing}
	elements := parse(t, r.SVG(Wide))
	if len(with(elements, "hollow")) != 1 || len(with(elements, "whisker")) != 1 ||
		!strings.Contains(words(elements), "+2.0\u00a0%, no interval") {
		t.Errorf("hollow %d, whiskers %d, words %q", len(with(elements, "hollow")), len(with(elements, "whisker")),
			words(elements))
	}
	r.Rows[0].Estimate.Value = missing
	if elements = parse(t, r.SVG(Wide)); !strings.Contains(words(elements), "not compared") {
		t.Errorf("words %q", words(elements))
	}
}

func TestWideIntervalGoesOnBeyondTheScale(t *testing.T) {
	r := threeShoes()
	r.Rows = append(r.Rows, RankingRow{Label: "Quill", Shoe: 3, Estimate: Estimate{0.5, -80, 81}})
	elements := parse(t, r.SVG(Wide))
	if got := len(with(elements, "arrow")); got != 2 {
		t.Fatalf("%d arrows, want one at each end", got)
	}
	whiskers := with(elements, "whisker")
	if length := whiskers[0].num(t, "x2") - whiskers[0].num(t, "x1"); length < 25 {
		t.Errorf("the interval of two percent is %v wide: squeezed by the wide one", length)
	}
}

// A short ranking leaves the interval to the line, and the row that the page is about has a
// ground of its own.
func TestShortRanking(t *testing.T) {
	r := threeShoes()
	r.Short, r.Rows[1].Strong = true, true
	elements := parse(t, r.SVG(Narrow))
	if text := words(elements); !strings.Contains(text, "+2.0\u00a0%") || strings.Contains(text, "(+1.0") {
		t.Errorf("the words are %q", text)
	}
	if strong := with(elements, "strong"); len(strong) != 1 || strong[0].num(t, "y") != rowsFor(Narrow).top(1)+1 {
		t.Errorf("%v", strong)
	}
}

// Every analysis has its words and its address; those in which another shoe leads are left of zero.
func TestStrip(t *testing.T) {
	s := Strip{Head: Head{ID: "s"}, Axis: "% ahead"}
	s.Add("earlier", StripMark{Shoe: 0, Value: 1, Words: "drift none: +1 %", Href: "e.html#a"})
	s.Add("later", StripMark{Shoe: 2, Value: -0.5, Words: "later: \u22120.5 %", Href: "e.html#b"})
	s.Add("earlier", StripMark{Shoe: 0, Value: 2, Words: "as published: +2 %", Href: "e.html#c"})
	s.Add("later", StripMark{Shoe: 0, Value: missing, Words: "nothing", Href: "e.html#d"})
	svg := s.SVG(Narrow)
	elements := parse(t, svg)
	marks := with(elements, "mark")
	if len(marks) != 3 || marks[0].attrs["data-href"] != "e.html#a" ||
		marks[1].attrs["data-href"] != "e.html#c" {
		t.Fatalf("%v", marks)
	}
	// The scale runs over -0.5..2 widened by a twentieth: -0.625..2.125 over 124..352; marks
	// stand on whole units.
	at := func(v float64) float64 { return math.Round(124 + (v+0.625)/2.75*228) }
	circles := 0
	for _, e := range elements {
		if e.name == "circle" {
			near(t, "a mark", e.num(t, "cx"), at([]float64{1, 2}[circles]))
			circles++
		}
	}
	if circles != 2 || strings.Contains(string(svg), "NaN") {
		t.Errorf("%d circles in %s", circles, svg)
	}
}

// A bar is as long as the chance, and never so short that it is not seen.
func TestChanceBar(t *testing.T) {
	for chance, want := range map[float64]float64{0.94: 94, 0: 0.8, 1: 100} {
		if part := with(parse(t, ChanceBar(1, chance)), "part"); len(part) != 1 || part[0].num(t, "width") != want {
			t.Errorf("%v: %v", chance, part)
		}
	}
	parse(t, Mark(NoShoe))
}

// The mean of the samples within half the span, by hand; a gap is not looked across.
func TestSmooth(t *testing.T) {
	line := TraceLine{Seconds: []float64{0, 1, 2, 3, 20, 21}, Values: []float64{1, 3, 5, 7, 100, 300}, Gap: 5}
	got := line.Smooth(2).Values
	for i, want := range []float64{2, 3, 5, 6, 200, 200} {
		near(t, "value", got[i], want)
	}
	line.Values[1] = missing
	if got = line.Smooth(2).Values; got[1] == got[1] || got[0] != 1 || got[2] != 6 {
		t.Errorf("%v", got)
	}
	thin := TraceLine{Seconds: []float64{0, 1, 2, 3, 20, 21}, Values: []float64{1, 3, 5, 7, 100, 300}, Gap: 5}.Every(2)
	if len(thin.runs()) != 2 || thin.Seconds[1] != 2 || thin.Values[2] != 7 {
		t.Errorf("%v %v in %v", thin.Seconds, thin.Values, thin.runs())
	}
}

func TestOrderGeometry(t *testing.T) {
	o := Order{Head: Head{ID: "o"}, Blocks: []OrderBlock{
		{Label: "one", Start: 0, End: 400, From: 60, To: 385, OffPct: missing}, {Label: "two", Shoe: 1, Start: 600,
			End: 1000, From: 660, To: 985, OffPct: missing, Excluded: true},
	}}
	elements := parse(t, o.SVG(Wide))
	at := func(s float64) float64 { return 8 + s/1000*704 }
	outlines, windows := with(elements, "block"), with(elements, "window")
	if len(outlines) != 2 || len(windows) != 1 || len(with(elements, "hatch")) != 1 {
		t.Fatalf("%d outlines, %d windows, %d hatched", len(outlines), len(windows), len(with(elements, "hatch")))
	}
	near(t, "the second block", outlines[1].num(t, "x"), at(600))
	near(t, "its width", outlines[1].num(t, "width"), 0.4*704)
	near(t, "the window", windows[0].num(t, "x"), at(60))
	near(t, "its width", windows[0].num(t, "width"), 0.325*704)
	if letters := with(elements, "letter"); letters[0].text != "A" || letters[1].text != "B" {
		t.Errorf("letters %v", letters)
	}
	o.Blocks[0].Start = missing
	if !strings.Contains(words(parse(t, o.SVG(Narrow))), "no times") {
		t.Error("blocks without times do not say so")
	}
}

// The hatch of a rectangle stays inside it.
func TestHatchStaysInside(t *testing.T) {
	c := &canvas{}
	c.hatch(10, 20, 50, 40)
	for _, p := range strings.FieldsFunc(parse(t, c.text)[0].attrs["d"],
		func(r rune) bool { return r == 'M' || r == 'L' }) {
		x, y, _ := strings.Cut(p, " ")
		px, _ := strconv.ParseFloat(x, 64)
		py, _ := strconv.ParseFloat(y, 64)
		if px < 10 || px > 60 || py < 20 || py > 60 {
			t.Errorf("a hatch line leaves the block at %s", p)
		}
	}
}

// tracePath is the path of the only line of a panel.
func tracePath(t *testing.T, trace Trace) string {
	t.Helper()
	return with(parse(t, trace.SVG(Narrow)), "trace")[0].attrs["d"]
}

func seconds(n int) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = float64(i)
	}
	return s
}

func TestGapsPartTheLine(t *testing.T) {
	line := TraceLine{Seconds: seconds(10), Values: []float64{1, 2, 3, missing, 5, 6, 7, 8, 9, 10}, Gap: 5}
	trace := Trace{Head: Head{ID: "t"}, Span: 20, From: missing, To: missing, Lines: []TraceLine{line}}
	if d := tracePath(t, trace); strings.Count(d, "M") != 2 {
		t.Errorf("a missing value: %q", d)
	}
	trace.Lines[0].Values = seconds(10)
	if d := tracePath(t, trace); strings.Count(d, "M") != 1 {
		t.Errorf("no gap: %q", d)
	}
	trace.Lines[0].Seconds = []float64{0, 1, 2, 3, 4, 10, 11, 12, 13, 14}
	if d := tracePath(t, trace); strings.Count(d, "M") != 2 {
		t.Errorf("six seconds without a sample, limit five: %q", d)
	}
	trace.Lines[0].Seconds = []float64{0, 1, 2, 3, 4, 3, 5, 6, 7, 8}
	if d := tracePath(t, trace); strings.Count(d, "M") != 2 {
		t.Errorf("time that goes back: %q", d)
	}
	trace.Lines[0].Values = []float64{missing, missing, 3, missing, missing, missing, missing, missing, missing,
		missing}
	if d := tracePath(t, trace); strings.Count(d, "M") != 1 || !strings.HasSuffix(d, "h0") {
		t.Errorf("a single sample is a dot: %q", d)
	}
}

// Thinning keeps the first and the last sample, and the lowest and the highest of
// every column, in time order, and adds none.
func TestThinningKeepsExtremes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4000).Draw(t, "n")
		line := TraceLine{Seconds: seconds(n), Values: rapid.SliceOfN(rapid.Float64Range(-100, 100), n, n).Draw(t,
			"values")}
		x := scale{0, math.Max(float64(n-1), 1), traceLeft, 352}
		width := rapid.Float64Range(2, 12).Draw(t, "width")
		kept := line.thin([2]int{0, n}, x, width)
		if float64(len(kept)) > 2*(308/width+1)+2 || kept[0] != 0 || kept[len(kept)-1] != n-1 {
			t.Fatalf("%d kept of %d, from %d to %d", len(kept), n, kept[0], kept[len(kept)-1])
		}
		drawn := map[float64][2]float64{}
		for i, k := range kept {
			if i > 0 && k <= kept[i-1] {
				t.Fatal("not in time order")
			}
			column := math.Floor((x.at(line.Seconds[k]) - traceLeft) / width)
			b, seen := drawn[column]
			if !seen {
				b = [2]float64{math.Inf(1), math.Inf(-1)}
			}
			drawn[column] = [2]float64{math.Min(b[0], line.Values[k]), math.Max(b[1], line.Values[k])}
		}
		for i, v := range line.Values {
			if b := drawn[math.Floor((x.at(line.Seconds[i])-traceLeft)/width)]; v < b[0] || v > b[1] {
				t.Fatalf("sample %d = %v lies outside what is drawn of its column, %v", i, v, b)
			}
		}
	})
}

// However many samples and lines, a panel has about 400 points.
func TestPanelsStaySmall(t *testing.T) {
	for _, lines := range []int{1, 2, 8, 16, 40} {
		trace := Trace{Head: Head{ID: "t"}, Span: 5999, From: 0, To: 5999}
		for shoe := range lines {
			line := TraceLine{Shoe: shoe, Seconds: seconds(6000), Values: seconds(6000)}
			for i := range line.Values {
				line.Values[i] = math.Mod(float64(i)*0.618, 1)
			}
			trace.Lines = append(trace.Lines, line)
		}
		points := 0
		for _, e := range with(parse(t, trace.SVG(Narrow)), "trace") {
			points += len(regexp.MustCompile(`-?[0-9.]+`).FindAllString(e.attrs["d"], -1)) / 2
		}
		if most := min(400+4*lines, 310*lines); points > most || points < most/2 {
			t.Errorf("%d points of %d lines", points, lines)
		}
	}
}

// What is drawn stands where the samples are, to half a unit.
func TestTraceStandsWhereTheSamplesAre(t *testing.T) {
	values := []float64{250, 260, 240, 255, 270, 250, 245}
	trace := Trace{Head: Head{ID: "t"}, Span: 6, From: 0, To: 6,
		Lines: []TraceLine{{Shoe: 2, Seconds: seconds(7), Values: values}}}
	elements := parse(t, trace.SVG(Narrow))
	drawn := with(elements, "trace")[0]
	if drawn.attrs["stroke-dasharray"] != "2 3" {
		t.Errorf("dash %q", drawn.attrs["stroke-dasharray"])
	}
	// The panel is 308 by 144 units; the scale runs from 240 to 270, both widened by 30/25.
	x, y := 0.0, 0.0
	for i, m := range regexp.MustCompile(`-?[0-9.]+`).FindAllString(drawn.attrs["d"], -1) {
		n, _ := strconv.ParseFloat(m, 64)
		if i%2 == 0 {
			x += n
			near(t, "time", math.Round(x), math.Round(float64(i/2)/6*308))
			continue
		}
		y += n
		if want := 144 * (271.2 - values[i/2]) / 32.4; math.Abs(y-want) > 0.5001 {
			t.Errorf("sample %d stands at %v, want %v", i/2, y, want)
		}
	}
	if x != 308 {
		t.Errorf("the line ends at %v", x)
	}
}

// A start from standing is cut by the edge of the panel and said in numbers; an
// extreme inside the steady window is always drawn.
func TestExtentFollowsTheSteadyWindow(t *testing.T) {
	values := []float64{0, 100, 200, 270, 272, 268, 271, 269, 270, 270}
	trace := Trace{Head: Head{ID: "t"}, Span: 9, From: 3, To: 8,
		Lines: []TraceLine{{Seconds: seconds(10), Values: values, Gap: 5}}}
	shown, all := trace.extent()
	if shown.low < 260 || shown.high > 280 || all.low != 0 || all.high != 272 {
		t.Errorf("shown %v of %v", shown, all)
	}
	if text := words(parse(t, trace.SVG(Narrow))); !strings.Contains(text, "lines go on down to 0") ||
		strings.Contains(text, " up ") {
		t.Errorf("words %q", text)
	}
	values[5] = 900
	if shown, _ = trace.extent(); shown.high < 900 {
		t.Errorf("a spike inside the window is cut: %v", shown)
	}
}

func TestToDateGeometry(t *testing.T) {
	d := Progress{Head: Head{ID: "d"}, Steps: []Step{{"1 March", Estimate{1, missing, missing}},
		{"8 March", Estimate{2, 0.5, 3.5}}}}
	elements := parse(t, d.SVG(Narrow))
	if len(with(elements, "whisker")) != 1 || len(with(elements, "hollow")) != 1 {
		t.Fatalf("%d whiskers, %d hollow", len(with(elements, "whisker")), len(with(elements, "hollow")))
	}
	// The scale runs over 0..3.5 widened by a twentieth: -0.175..3.675 over 200..26.
	at := func(v float64) float64 { return 200 - (v+0.175)/3.85*174 }
	whisker := with(elements, "whisker")[0]
	near(t, "low end", whisker.num(t, "y1"), at(0.5))
	near(t, "high end", whisker.num(t, "y2"), at(3.5))
	near(t, "zero", with(elements, "zero")[0].num(t, "y1"), at(0))
}

func TestWeightGeometry(t *testing.T) {
	w := Weight{Head: Head{ID: "w"}, Unit: "%", Measured: Estimate{2, 1, 3}, Expected: Estimate{0.5, 0.4, 0.6},
		Rest: Estimate{1.5, 0.5, 2.5}}
	elements := parse(t, w.SVG(Wide))
	// 0..3 widened by a twentieth: -0.15..3.15 over 194.4..504.
	perPercent := (504 - 194.4) / 3.3
	bar := with(elements, "expected")[0]
	near(t, "the bar's start", bar.num(t, "x"), 194.4+0.15*perPercent)
	near(t, "the bar's length", bar.num(t, "width"), 0.5*perPercent)
	whiskers := with(elements, "whisker")
	near(t, "the rest keeps the interval's length", whiskers[1].num(t, "x2")-whiskers[1].num(t, "x1"),
		whiskers[0].num(t, "x2")-whiskers[0].num(t, "x1"))
}

// The scale is that of the later sessions: a first interval forty times as wide ends in arrows
// and leaves the others readable.
func TestProgressShowsTheLastSessions(t *testing.T) {
	d := Progress{Head: Head{ID: "d"}, Steps: []Step{{"1 March", Estimate{30, -40, 60}},
		{"8 March", Estimate{3, -2, 8}},
		{"15 March", Estimate{2, 1, 3}}, {"22 March", Estimate{2, 1.2, 2.8}}}}
	elements := parse(t, d.SVG(Narrow))
	whiskers := with(elements, "whisker")
	if len(with(elements, "arrow")) < 2 || len(whiskers) != 4 {
		t.Fatalf("%d arrows, %d whiskers", len(with(elements, "arrow")), len(whiskers))
	}
	if last := whiskers[3].num(t, "y1") - whiskers[3].num(t, "y2"); last < 60 {
		t.Errorf("the last interval is %v high", last)
	}
}
