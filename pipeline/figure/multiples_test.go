package figure

import (
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func threePanels() Multiples {
	line := func(shoe int, values ...float64) TraceLine {
		return TraceLine{Shoe: shoe, Seconds: seconds(len(values)), Values: values}
	}
	return Multiples{Trace: Trace{Head: Head{ID: "m", Title: "power"}, Axis: "power, W", Span: 4, From: 1, To: 3,
		Lines: []TraceLine{line(4, 90, 252, 250, 251, 250), line(1, 250, 250, 250, 250, 250),
			line(2, 270, 270, 270, 270, 270), line(1, 260, 260, 260, 260, 260)}},
		Labels: map[int]string{1: "Ash", 2: "Birch", 4: "Cedar"}}
}

// Every shoe has a panel with its mark, name and colour, by its place in the register; its
// lines, and nobody else's, are in it, over the steady window that all share.
func TestMultiplesGiveEveryShoeAPanel(t *testing.T) {
	for _, width := range []Width{Narrow, Wide} {
		elements := parse(t, threePanels().SVG(width))
		var order []string
		lines := map[int]string{}
		panel := 0
		for _, e := range elements {
			switch {
			case e.name == "g":
				order = append(order, e.attrs["class"])
				panel++
			case strings.HasPrefix(e.attrs["class"], "trace "):
				lines[panel] += e.attrs["class"] + ";"
				if e.attrs["stroke-dasharray"] != "" {
					t.Error("a line that has the panel of its shoe is dashed")
				}
			}
		}
		if got := strings.Join(order, " "); got != "shoe-1 shoe-2 shoe-4" {
			t.Errorf("%d wide: marks %q", width, got)
		}
		if lines[1] != "trace shoe-1;trace shoe-1;" || lines[2] != "trace shoe-2;" || lines[3] != "trace shoe-4;" {
			t.Errorf("%d wide: lines by panel %v", width, lines)
		}
		if text := words(elements); !strings.Contains(text, "Ash") || !strings.Contains(text, "Birch") ||
			!strings.Contains(text, "lines go on down to 90") {
			t.Errorf("%d wide: words %q", width, text)
		}
		if windows := with(elements, "steady"); len(windows) != 3 {
			t.Errorf("%d steady windows in 3 panels", len(windows))
		}
	}
}

// 250 W lies at the same height in every panel and 20 W are as much; all panels are
// equally wide and lie within the figure, none over another.
func TestMultiplesShareTheirScales(t *testing.T) {
	elements := parse(t, threePanels().SVG(Narrow))
	var tops []float64
	for _, e := range elements {
		if strings.HasPrefix(e.attrs["class"], "trace ") {
			m := regexp.MustCompile(`^M\S+ (-?[0-9.]+)`).FindStringSubmatch(e.attrs["d"])
			y, err := strconv.ParseFloat(m[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			tops = append(tops, y)
		}
	}
	// The scale holds the window's 250 to 270 and half as much below: 240 to 270, and 30/25 more at each end.
	at := func(v float64) float64 { return 84 * (271.2 - v) / 32.4 }
	for i, want := range []float64{at(250), at(260), at(270), at(90)} {
		if d := tops[i] - want; d > 0.5001 || d < -0.5001 {
			t.Errorf("line %d begins at %v, want %v", i, tops[i], want)
		}
	}
	type box struct{ x, y, width, height float64 }
	var boxes []box
	for _, e := range elements[1:] {
		if e.name == "svg" {
			boxes = append(boxes, box{e.num(t, "x"), e.num(t, "y"), e.num(t, "width"), e.num(t, "height")})
		}
	}
	if len(boxes) != 3 {
		t.Fatalf("%d panels", len(boxes))
	}
	for i, b := range boxes {
		near(t, "width", b.width, boxes[0].width)
		near(t, "height", b.height, 84)
		if b.x < traceLeft || b.x+b.width > 360 {
			t.Errorf("panel %d lies beyond the figure: %v", i, b)
		}
	}
	if boxes[0].y != boxes[1].y || boxes[0].x+boxes[0].width >= boxes[1].x || boxes[2].x != boxes[0].x ||
		boxes[2].y < boxes[0].y+boxes[0].height+20 {
		t.Errorf("panels %v", boxes)
	}
}
