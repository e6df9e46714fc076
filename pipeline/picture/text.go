package picture

import (
	"bytes"
	"compress/gzip"
	"embed"
	"io"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"

	"soletrial/pipeline/stable"
)

// weight chooses a face.
type weight int

const (
	regular weight = iota
	bold
)

// fontFiles are DejaVu Sans and its bold weight, without what only small screens need, and
// compressed, which more than halves what they add to the program. They come from
// go-fonts/dejavu: `go test ./pipeline/picture -run TestFonts -update` writes them anew.
//
//go:embed fonts/*.ttf.gz
var fontFiles embed.FS

// fontNames are the files of the weights.
var fontNames = [2]string{regular: "fonts/regular.ttf.gz", bold: "fonts/bold.ttf.gz"}

// unpackFont reads the TrueType file of a weight.
func unpackFont(w weight) ([]byte, error) {
	packed, err := fontFiles.ReadFile(fontNames[w])
	if err != nil {
		return nil, err
	}
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, err
	}
	return io.ReadAll(r)
}

// fonts are read once; a font may be used by many, a face by one.
var fonts = sync.OnceValue(func() (both [2]*font.Font) {
	for w := range both {
		ttf, err := unpackFont(weight(w))
		if err != nil {
			panic("picture: the font that is built in cannot be unpacked: " + err.Error())
		}
		face, err := font.ParseTTF(bytes.NewReader(ttf))
		if err != nil {
			panic("picture: the font that is built in cannot be read: " + err.Error())
		}
		both[w] = face.Font
	}
	return both
})

// faces shape text.
type faces struct {
	of        [2]*font.Face
	shaper    shaping.HarfbuzzShaper
	segmenter shaping.Segmenter
	wrapper   shaping.LineWrapper
}

// onlyFace is the only face of a text.
type onlyFace struct{ *font.Face }

func (f onlyFace) ResolveFace(rune) *font.Face { return f.Face }

func (f *faces) face(w weight) *font.Face {
	if f.of[w] == nil {
		f.of[w] = font.NewFace(fonts()[w])
	}
	return f.of[w]
}

// glyph is a letter's outline at a place, the start of its base line, in pixels.
type glyph struct {
	weight weight
	id     font.GID
	x, y   float64
}

// textLine is one line of text that begins at 0, 0.
type textLine struct {
	glyphs []glyph
	width  float64
}

// shapeText shapes and wraps text, right-to-left words in their order. Text is shaped in
// the font's own units, so that no size rounds it.
func (f *faces) shapeText(text string, size float64, w weight, width float64) (lines []textLine) {
	// Choose the glyphs of each run of one direction and script.
	face := f.face(w)
	em := float64(face.Upem())
	letters := withMinus([]rune(text))
	if len(letters) == 0 {
		return nil
	}
	input := shaping.Input{Text: letters, RunEnd: len(letters), Direction: di.DirectionLTR, Face: face,
		Size: fixed.I(int(em)), Script: language.Latin, Language: language.NewLanguage("en")}
	var runs []shaping.Output
	for _, run := range f.segmenter.Split(input, onlyFace{face}) {
		runs = append(runs, f.shaper.Shape(run))
	}
	// Break into lines, and put the runs of each in the order in which they are seen.
	wrapped, _ := f.wrapper.WrapParagraph(shaping.WrapConfig{Direction: di.DirectionLTR}, int(width*em/size), letters,
		shaping.NewSliceIterator(runs))
	scale := size / em
	for _, runs := range wrapped {
		runs = slices.Clone(runs)
		stable.Sort(runs, func(a, b shaping.Output) int { return int(a.VisualIndex - b.VisualIndex) })
		// Place every glyph behind the one before.
		var l textLine
		pen := 0.0
		for _, run := range runs {
			for _, g := range run.Glyphs {
				x, y := pen+float64(g.XOffset)/64, float64(g.YOffset)/64
				l.glyphs = append(l.glyphs, glyph{w, g.GlyphID, float64(x * scale), float64(-y * scale)})
				pen += float64(g.Advance) / 64
			}
		}
		l.width = float64(pen * scale)
		lines = append(lines, l)
	}
	return lines
}

// withMinus turns hyphens before numbers into minus signs, as the site writes them.
func withMinus(letters []rune) []rune {
	for i, r := range letters {
		before := i == 0 || letters[i-1] == '(' || unicode.IsSpace(letters[i-1])
		if r == '-' && before && i+1 < len(letters) && unicode.IsDigit(letters[i+1]) {
			letters[i] = '\u2212'
		}
	}
	return letters
}

// outline is a letter's outline in units of the font, y up.
func (f *faces) outline(g glyph) (p path) {
	data, _ := f.face(g.weight).GlyphDataOutline(g.id)
	at := func(a opentype.SegmentPoint) point { return point{float64(a.X), float64(a.Y)} }
	for i, s := range data.Segments {
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			if i > 0 {
				p = append(p, segment{op: closePath})
			}
			p = append(p, segment{op: move, p: [3]point{at(s.Args[0])}})
		case opentype.SegmentOpLineTo:
			p = append(p, segment{op: line, p: [3]point{at(s.Args[0])}})
		case opentype.SegmentOpQuadTo:
			p = append(p, segment{op: quad, p: [3]point{at(s.Args[0]), at(s.Args[1])}})
		case opentype.SegmentOpCubeTo:
			p = append(p, segment{op: cube, p: [3]point{at(s.Args[0]), at(s.Args[1]), at(s.Args[2])}})
		}
	}
	if len(p) > 0 {
		p = append(p, segment{op: closePath})
	}
	return p
}

// em is the number of a font's units in its size.
func (f *faces) em(w weight) float64 { return float64(f.face(w).Upem()) }

// has reports whether the font has every letter of a text.
func (f *faces) has(text string) bool {
	for _, r := range text {
		if _, ok := f.face(regular).NominalGlyph(r); !ok && !unicode.IsSpace(r) {
			return false
		}
	}
	return true
}

// isolated keeps a name from turning what stands beside it around: a name with letters that
// are read from right to left is put between the marks for that (Unicode, annex 9).
func isolated(name string) string {
	turns := strings.ContainsFunc(name, func(r rune) bool {
		return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko)
	})
	if !turns {
		return name
	}
	return "\u2068" + name + "\u2069"
}

// wide is more than any picture has.
const wide = 1e6

// measure is how wide a text is on one line.
func (d *Drawing) measure(text string, size float64, w weight) float64 {
	lines := d.faces.shapeText(text, size, w, wide)
	if len(lines) == 0 {
		return 0
	}
	return lines[0].width
}

// Where a text stands to its place.
type align int

const (
	start align = iota
	middle
	end
)

// words writes text on one line, its base line at y.
func (d *Drawing) words(text string, x, y, size float64, w weight, a align, c colour) {
	for _, l := range d.faces.shapeText(text, size, w, wide) {
		d.setLine(l, x-float64(l.width*float64(a))/2, y, size, c)
	}
}

func (d *Drawing) setLine(l textLine, x, y, size float64, c colour) {
	if d.Transparent {
		pad := size / 4
		d.rect(x-pad, y-size, l.width+float64(2*pad), float64(leading*size), paper)
	}
	glyphs := make([]glyph, 0, len(l.glyphs))
	for _, g := range l.glyphs {
		glyphs = append(glyphs, glyph{g.weight, g.id, snapped(x + g.x), snapped(y + g.y)})
	}
	d.add(shape{glyphs: glyphs, size: size, colour: c})
}

// leading is the distance of two base lines, in sizes.
const leading = 1.3

// paragraph writes text in lines of a width, the first base line one size below y, and
// returns where the next text may begin.
func (d *Drawing) paragraph(text string, x, y, width, size float64, w weight, c colour) float64 {
	for _, l := range d.faces.shapeText(text, size, w, width) {
		d.setLine(l, x, y+size, size, c)
		y += float64(leading * size)
	}
	return y
}

// height is how high a paragraph is.
func (d *Drawing) height(text string, width, size float64, w weight) float64 {
	return float64(float64(leading*size) * float64(len(d.faces.shapeText(text, size, w, width))))
}

// fit cuts a name to a width and marks the cut.
func (d *Drawing) fit(name string, width, size float64, w weight) string {
	text := isolated(name)
	letters := []rune(name)
	for len(letters) > 1 && d.measure(text, size, w) > width {
		letters = letters[:len(letters)-1]
		text = isolated(strings.TrimRight(string(letters), " ") + "…")
	}
	return text
}
