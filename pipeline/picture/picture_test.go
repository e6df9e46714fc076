package picture

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/xml"
	"fmt"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"
)

// Whatever the number of shoes and their names, no text is smaller than 24 pixels in a video,
// none stands outside the picture, and every picture has its text alternative.
func TestTextIsLargeAndInside(t *testing.T) {
	for shoes := 2; shoes <= 8; shoes++ { // one is TestOneShoe
		in := fixture(t, shoes)
		everywhere(t, in, func(name string, d *Drawing) {
			if d.Title == "" || !strings.Contains(d.Alt, "The data are invented") {
				t.Errorf("%d shoes, %s: title %q, text alternative %q", shoes, name, d.Title, d.Alt)
			}
			letters := 0
			for _, s := range d.shapes {
				if len(s.glyphs) > 0 && s.size < smallestOf(d.Size) {
					t.Errorf("%d shoes, %s: text of %g pixels", shoes, name, s.size)
				}
				for _, g := range s.glyphs {
					letters++
					if g.x < 0 || g.x > float64(d.Width) || g.y < s.size*0.7 || g.y > float64(d.Height) {
						t.Fatalf("%d shoes, %s: a letter at %g, %g", shoes, name, g.x, g.y)
					}
				}
			}
			for _, pair := range touching(d) {
				t.Errorf("%d shoes, %s: %s", shoes, name, pair)
			}
			if letters < 20 {
				t.Errorf("%d shoes, %s: only %d letters", shoes, name, letters)
			}
		})
	}
	if smallestOf(Video) != 24 || smallestOf(Upright) != 24 {
		t.Error("small text is not 24 pixels")
	}
}

// touching lists the texts on one base line that do not stand apart.
func touching(d *Drawing) (pairs []string) {
	type extent struct{ from, to, y, size float64 }
	var before []extent
	for _, s := range d.shapes {
		if len(s.glyphs) == 0 {
			continue
		}
		e := extent{math.Inf(1), math.Inf(-1), s.glyphs[0].y, s.size}
		for _, g := range s.glyphs { // the last letter begins there and is at least this wide
			e.from, e.to = min(e.from, g.x), max(e.to, g.x+s.size*0.25)
		}
		for _, b := range before {
			if math.Abs(b.y-e.y) < 1 && e.from < b.to+e.size*0.2 && b.from < e.to+e.size*0.2 {
				pairs = append(pairs, fmt.Sprintf("two texts touch at %.0f, %.0f", e.from, e.y))
			}
		}
		before = append(before, e)
	}
	return pairs
}

// One shoe is compared with none: its figures say what is missing, and the strip of a
// session is still there.
func TestOneShoe(t *testing.T) {
	in := fixture(t, 1)
	for _, f := range Figures {
		why := f.Missing(in)
		if drawable := f.Name == "order" || f.Name == "traces"; drawable != (why == "") {
			t.Errorf("%s: %q", f.Name, why)
		}
	}
}

func TestSVGIsWellFormed(t *testing.T) {
	in := fixture(t, 4)
	everywhere(t, in, func(name string, d *Drawing) {
		decoder := xml.NewDecoder(bytes.NewReader(d.SVG()))
		defined, title := map[string]bool{}, ""
		for {
			token, err := decoder.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			start, is := token.(xml.StartElement)
			if !is {
				continue
			}
			if start.Name.Local == "title" {
				if err := decoder.DecodeElement(&title, &start); err != nil {
					t.Fatal(err)
				}
			}
			for _, a := range start.Attr {
				switch a.Name.Local {
				case "id":
					defined[a.Value] = true
				case "href":
					if !defined[strings.TrimPrefix(a.Value, "#")] {
						t.Fatalf("%s: %s is used and not defined", name, a.Value)
					}
				}
			}
		}
		if title != d.Title {
			t.Errorf("%s: the title is %q, want %q", name, title, d.Title)
		}
	})
}

// A transparent picture shows the video where nothing is drawn; a light one is opaque.
func TestGrounds(t *testing.T) {
	in := fixture(t, 2)
	f, ok := Find("ranking")
	if !ok {
		t.Fatal("no ranking")
	}
	for _, transparent := range []bool{false, true} {
		text := f.Draw(in, Options{Size: Preview, Transparent: transparent}).PNG()
		picture, err := png.Decode(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		if b := picture.Bounds(); b.Dx() != Preview.Width || b.Dy() != Preview.Height {
			t.Errorf("the picture is %v", b)
		}
		_, _, _, alpha := picture.At(3, 3).RGBA()
		if (alpha == 0) != transparent {
			t.Errorf("transparent %v: the corner has an alpha of %d", transparent, alpha)
		}
	}
}

// Right is faster in the ranking, on every size: a shoe that is further behind the leader has its
// mark further to the left.
func TestRankingHasTheFastestOnTheRight(t *testing.T) {
	in := fixture(t, 4)
	e, g := in.Speaker.Answers.Top()
	lines := in.Speaker.Standings(e, g)
	f, _ := Find("ranking")
	for _, size := range Sizes {
		// The mark on the scale is the one to the right of the mark beside the name.
		at := map[colour]float64{}
		for _, s := range f.Draw(in, Options{Size: size}).shapes {
			if len(s.glyphs) == 0 && s.width == 0 {
				at[s.colour] = max(at[s.colour], s.path[0].p[0].x)
			}
		}
		for i := range lines[1:] {
			ahead, behind := &lines[i], &lines[i+1]
			right, left := at[shoeColour(in.place(ahead.Shoe))], at[shoeColour(in.place(behind.Shoe))]
			if !(right > left && left > 0) {
				t.Errorf("%s: %s stands at %g, and %s, which is slower, at %g", size.Name(), ahead.Label, right,
					behind.Label, left)
			}
		}
	}
}

// A hyphen before a number is its sign; in a name or a date it stays.
func TestMinusSigns(t *testing.T) {
	for text, want := range map[string]string{"+0.9 % (-0.1 to -2.0 %)": "+0.9 % (\u22120.1 to \u22122.0 %)",
		"-1": "\u22121", "2026-04-25": "2026-04-25", "Alder-2 - a shoe": "Alder-2 - a shoe"} {
		if got := string(withMinus([]rune(text))); got != want {
			t.Errorf("%q is written %q, want %q", text, got, want)
		}
	}
}

// The person's own title and font size.
func TestOptions(t *testing.T) {
	in := fixture(t, 3)
	f, _ := Find("ranking")
	usual := f.Draw(in, Options{Size: Video})
	large := f.Draw(in, Options{Size: Video, Title: "My <title>", FontSize: 48})
	if large.Title != "My <title>" || !bytes.Contains(large.SVG(), []byte("<title>My &lt;title&gt;</title>")) {
		t.Errorf("the title is %q", large.Title)
	}
	if a, b := largest(usual), largest(large); a != 54 || b != 72 {
		t.Errorf("the largest text is %g and %g pixels, want 54 and 72", a, b)
	}
}

func largest(d *Drawing) (size float64) {
	for _, s := range d.shapes {
		if len(s.glyphs) > 0 {
			size = max(size, s.size)
		}
	}
	return size
}

// In a sentence from left to right, a name in Hebrew letters stands as one, its first letter
// to the right, and a number beside it is not drawn into it.
func TestNamesFromRightToLeft(t *testing.T) {
	var f faces
	name := "נעל"
	lines := f.shapeText(isolated(name)+" (94 %)", 100, regular, wide)
	if len(lines) != 1 {
		t.Fatalf("%d lines", len(lines))
	}
	at := map[rune]float64{}
	for _, r := range name + "94" {
		id, _ := f.face(regular).NominalGlyph(r)
		for _, g := range lines[0].glyphs {
			if g.id == id {
				at[r] = g.x
			}
		}
	}
	// נ is first in the name and so the rightmost of its letters; 9 and 4 come after all.
	if !(at['ל'] < at['ע'] && at['ע'] < at['נ'] && at['נ'] < at['9'] && at['9'] < at['4']) {
		t.Errorf("the letters stand at %v", at)
	}
	// Letters that join in Arabic take other forms than alone.
	alone, _ := f.face(regular).NominalGlyph('ح')
	for _, g := range f.shapeText("حذاء", 100, regular, wide)[0].glyphs {
		if g.id == alone {
			t.Error("the letter does not join")
		}
	}
}

// A name with letters that the font lacks is replaced by the id, in sentences too.
func TestNamesWithoutLetters(t *testing.T) {
	in := fixture(t, 5)
	p := newPage(in, Options{Size: Video})
	if got := p.of("s4"); got != "s4" {
		t.Errorf("%q", got)
	}
	if got := p.sentence("Race in 快鞋."); got != "Race in s4." {
		t.Errorf("%q", got)
	}
	if got := p.of("s0"); got != "Alder" {
		t.Errorf("%q", got)
	}
}

// The same bytes on every processor: make test-wasm and make parity run this elsewhere.
// The hashes are what this program wrote when the test was made.
func TestBytesAreTheSameEverywhere(t *testing.T) {
	d := &Drawing{Size: Size{600, 300}, Title: "t", Alt: "a"}
	d.words("Gleich überall, 0.5 % نعم", 20, 60, 36, bold, start, ink)
	d.paragraph("A sentence that is long enough to be broken into two lines.", 20, 80, 500, 28, regular, quiet)
	d.mark(nil, 300.3, 200.7, 31.4, alert)
	d.stroke(path{{op: move, p: [3]point{{10, 290}}}, {op: line, p: [3]point{{333.3, 170.1}}},
		{op: line, p: [3]point{{590, 280.9}}}}, 5, ink)
	for name, want := range map[string]string{
		"svg": "49889570a019b195",
		"png": "417cfbd0ff6073a3",
	} {
		text := d.SVG()
		if name == "png" {
			text = d.PNG()
		}
		sum := sha256.Sum256(text)
		if got := hex.EncodeToString(sum[:8]); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	if a, b := fmt.Sprintf("%x", sha256.Sum256(d.PNG())), fmt.Sprintf("%x", sha256.Sum256(d.PNG())); a != b {
		t.Error("drawing twice gives two pictures")
	}
}

// A polygon that reaches over several tiles is filled without seams, by area: a triangle of
// half of 600 x 600 pixels.
func TestTilesHaveNoSeams(t *testing.T) {
	d := &Drawing{Size: Size{600, 600}}
	d.add(shape{
		path:   path{{op: move}, {op: line, p: [3]point{{600, 0}}}, {op: line, p: [3]point{{0, 600}}}, {op: closePath}},
		colour: colour{},
	})
	picture, err := png.Decode(bytes.NewReader(d.PNG()))
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for y := range 600 {
		for x := range 600 {
			r, _, _, _ := picture.At(x, y).RGBA()
			sum += 1 - float64(r)/0xffff
		}
	}
	if sum < 179_900 || sum > 180_100 {
		t.Errorf("%g pixels are filled, want 180000", sum)
	}
	for _, at := range [][2]int{{255, 255}, {256, 256}, {255, 10}, {256, 10}} {
		if r, _, _, _ := picture.At(at[0], at[1]).RGBA(); r != 0 {
			t.Errorf("a seam at %v: %d", at, r)
		}
	}
}
