package figure

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/units"
)

// points reads path data of a panel back into absolute places.
func points(t *rapid.T, path string) (xs, ys []int) {
	x, y := 0, 0
	for _, m := range regexp.MustCompile(`[lm](-?\d+) (-?\d+)(?:h0)?`).FindAllStringSubmatch(path, -1) {
		dx, _ := strconv.Atoi(m[1])
		dy, err := strconv.Atoi(m[2])
		if err != nil {
			t.Fatal(err)
		}
		x, y = x+dx, y+dy
		xs, ys = append(xs, x), append(ys, y)
	}
	return xs, ys
}

// TestColumnsKeepExtremes: what is painted reaches the lowest and the highest
// sample in view and is never more than two points for each column, or twice that where rounding
// splits a column at its edge.
func TestColumnsKeepExtremes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3000).Draw(t, "n")
		line := TraceLine{
			Seconds: seconds(n),
			Values:  rapid.SliceOfN(rapid.Float64Range(-100, 100), n, n).Draw(t, "values"),
			Gap:     5,
		}
		x, y := scale{0, math.Max(float64(n-1), 1), 0, 3000}, scale{-100, 100, 1440, 0}
		xs, ys := points(t, string(line.columns(nil, x, y, 10)))
		if len(xs) > 4*302 || len(xs) == 0 {
			t.Fatalf("%d points of %d samples", len(xs), n)
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, v := range line.Values {
			low, high = math.Min(low, math.Round(y.at(v))), math.Max(high, math.Round(y.at(v)))
		}
		for i := range ys {
			low, high = math.Max(low, 0), math.Min(high, 1440)
			if i > 0 && xs[i] < xs[i-1] || float64(ys[i]) < low || float64(ys[i]) > high {
				t.Fatalf("point %d is %d, %d", i, xs[i], ys[i])
			}
		}
		least, most := ys[0], ys[0]
		for _, v := range ys {
			least, most = min(least, v), max(most, v)
		}
		if float64(least) != low || float64(most) != high {
			t.Fatalf("painted from %d to %d, the samples reach from %v to %v", least, most, low, high)
		}
	})
}

func TestPanelPartsLines(t *testing.T) {
	trace := Trace{Head: Head{ID: "p", Title: "t"}, Span: 100, From: 0, To: 100, Lines: []TraceLine{
		{Seconds: []float64{0, 1, 2, 50, 51}, Values: []float64{1, units.Missing, 3, 4, 5}, Gap: 5}, {Shoe: 1,
			Seconds: []float64{10}, Values: []float64{2}, Excluded: true}}}
	p := trace.Panel(Wide, 0, 100)
	if moves := len(regexp.MustCompile("m").FindAllString(p.Strokes[0].Path, -1)); moves != 3 {
		t.Errorf("a missing value and a gap make %d pieces: %s", moves, p.Strokes[0].Path)
	}
	if s := p.Strokes[1]; !s.Faint || s.Width >= p.Strokes[0].Width || s.Dash != "70 30" || p.Strokes[0].Dash != "" {
		t.Errorf("a line that does not count is painted as %+v", s)
	}
	if box := fmt.Sprintf("%.3f %.3f %.3f %.3f", p.Left, p.Top, p.Width, p.Height); box !=
		"6.111 12.381 92.778 68.571" {
		t.Errorf("the strokes belong at %s", box)
	}
	zoomed := trace.Panel(Wide, 40, 60)
	if len(zoomed.Strokes[0].Path) >= len(p.Strokes[0].Path) {
		t.Errorf("closer up there is no less to paint: %s", zoomed.Strokes[0].Path)
	}
	if parse(t, p.Frame)[0].name != "svg" {
		t.Error("the frame is no figure")
	}
}

// Few lines are distinguished by their dashes, many by their shoes' marks: in both
// cases by more than colour.
func TestManyLinesAreMarked(t *testing.T) {
	trace := Trace{Head: Head{ID: "p", Title: "t"}, Span: 100, From: 0, To: 100}
	for shoe := range 2 * maxDashed {
		trace.Lines = append(trace.Lines, TraceLine{Shoe: shoe % 9, Seconds: seconds(100), Values: seconds(100),
			Gap: 5})
	}
	few := trace
	few.Lines = few.Lines[:maxDashed]
	if p := few.Panel(Wide, 0, 100); len(p.Strokes) != maxDashed || p.Strokes[1].Dash != "70 30" {
		t.Errorf("%d strokes of %d lines, %q", len(p.Strokes), maxDashed, p.Strokes[1].Dash)
	}
	p := trace.Panel(Wide, 0, 100)
	if len(p.Strokes) != 4*maxDashed {
		t.Fatalf("%d strokes, want a line and its marks for each of %d", len(p.Strokes), 2*maxDashed)
	}
	shapes := map[string]int{}
	for i, s := range p.Strokes {
		if line := trace.Lines[i%len(trace.Lines)]; s.Shoe != line.Shoe || s.Dash != "" ||
			s.Fill != (i >= len(trace.Lines)) {
			t.Errorf("stroke %d is of shoe %d with dash %q, filled %v", i, s.Shoe, s.Dash, s.Fill)
		}
		if !s.Fill {
			continue
		}
		if n := strings.Count(s.Path, "M"); n != 3 {
			t.Errorf("line %d has %d marks", i-len(trace.Lines), n)
		}
		first, _, _ := strings.Cut(s.Path[1:], "Z")
		x, y := 0.0, 0.0
		fmt.Sscan(first, &x, &y)
		shape := ""
		for _, step := range strings.Fields(first)[2:] {
			shape += step[:1]
		}
		shapes[strings.Repeat("p", strings.Count(first, " "))+shape[:1]] = s.Shoe
	}
	if len(shapes) < 4 {
		t.Errorf("the marks of nine shoes have %d shapes", len(shapes))
	}
	empty := Trace{Head: Head{ID: "p"}, Span: 100}
	for range maxDashed + 1 {
		empty.Lines = append(empty.Lines, TraceLine{Seconds: []float64{1}, Values: []float64{units.Missing}})
	}
	for _, s := range empty.Panel(Wide, 0, 100).Strokes {
		if s.Path != "" {
			t.Errorf("a line without values is drawn: %q", s.Path)
		}
	}
}
