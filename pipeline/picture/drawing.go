package picture

import (
	"math"
	"strconv"
)

// Size is the size of a picture in pixels.
type Size struct{ Width, Height int }

// The sizes of pictures: for a video, for a video held upright, and for link previews.
var (
	Video   = Size{1920, 1080}
	Upright = Size{1080, 1920}
	Preview = Size{1200, 630}
)

// Sizes are all of them.
var Sizes = []Size{Video, Upright, Preview}

// Drawing is a picture, described once for SVG and PNG. Title and Alt are its text
// alternative, the short one and the long one.
type Drawing struct {
	Size
	Title, Alt  string
	Transparent bool // no ground; text has a pale plate and marks a pale rim, to be read over a video
	shapes      []shape
	faces       faces
}

// shape is a filled outline, a stroke along a path, or one letter after the other.
type shape struct {
	path   path
	glyphs []glyph
	size   float64 // of the glyphs, pixels
	width  float64 // of the stroke, pixels; 0 fills
	colour colour
}

// colour is red, green and blue.
type colour struct{ r, g, b uint8 }

// The colours beside those of the shoes.
var (
	ink   = colour{0x1c, 0x1e, 0x21}
	quiet = colour{0x4d, 0x52, 0x58}
	rule  = colour{0xc9, 0xcd, 0xd2}
	faint = colour{0xe6, 0xe9, 0xec}
	paper = colour{0xff, 0xff, 0xff}
	alert = colour{0xa1, 0x2d, 0x00}
)

// rim is how far the pale rim on a transparent ground reaches, pixels.
const rim = 3

// add draws a shape over those before, on a transparent ground with a rim below it if it is
// in a colour of the foreground.
func (d *Drawing) add(s shape) {
	background := s.colour == paper || s.colour == rule || s.colour == faint
	if d.Transparent && !background && len(s.glyphs) == 0 {
		below := s
		below.colour, below.width = paper, s.width+2*rim
		d.shapes = append(d.shapes, below)
	}
	d.shapes = append(d.shapes, s)
}

func (d *Drawing) rect(x, y, width, height float64, c colour) {
	if width > 0 && height > 0 {
		d.add(shape{path: rectangle(x, y, width, height), colour: c})
	}
}

func (d *Drawing) line(x1, y1, x2, y2, width float64, c colour) {
	d.stroke(path{{op: move, p: [3]point{{x1, y1}}}, {op: line, p: [3]point{{x2, y2}}}}, width, c)
}

func (d *Drawing) stroke(p path, width float64, c colour) {
	d.add(shape{path: p, width: width, colour: c})
}

// mark draws the mark of a shoe: an outline in a square of -1 to 1, nil for a circle.
func (d *Drawing) mark(outline [][2]float64, x, y, radius float64, c colour) {
	if outline == nil {
		d.add(shape{path: circle(x, y, radius), colour: c})
		return
	}
	var p path
	for i, o := range outline {
		op := line
		if i == 0 {
			op = move
		}
		p = append(p, segment{op: op, p: [3]point{{x + float64(o[0]*radius), y + float64(o[1]*radius)}}})
	}
	d.add(shape{path: append(p, segment{op: closePath}), colour: c})
}

// path is an outline or a line.
type path []segment

type segment struct {
	op segmentOp
	p  [3]point // as many as the operation has; the last is where it ends
}

type segmentOp int

const (
	move segmentOp = iota
	line
	quad
	cube
	closePath
)

// points is how many points an operation has.
var points = [...]int{move: 1, line: 1, quad: 2, cube: 3, closePath: 0}

type point struct{ x, y float64 }

func rectangle(x, y, width, height float64) path {
	return path{{op: move, p: [3]point{{x, y}}}, {op: line, p: [3]point{{x + width, y}}},
		{op: line, p: [3]point{{x + width, y + height}}}, {op: line, p: [3]point{{x, y + height}}}, {op: closePath}}
}

// arm is how long the arms of the four cubic curves are that make a circle of radius 1.
const arm = 0.5522847498

func circle(x, y, r float64) path {
	at := func(dx, dy float64) point { return point{x + float64(dx*r), y + float64(dy*r)} }
	return path{
		{op: move, p: [3]point{at(1, 0)}},
		{op: cube, p: [3]point{at(1, arm), at(arm, 1), at(0, 1)}},
		{op: cube, p: [3]point{at(-arm, 1), at(-1, arm), at(-1, 0)}},
		{op: cube, p: [3]point{at(-1, -arm), at(-arm, -1), at(0, -1)}},
		{op: cube, p: [3]point{at(arm, -1), at(1, -arm), at(1, 0)}},
		{op: closePath},
	}
}

// curveSteps is into how many straight pieces a curve is cut.
const curveSteps = 8

// polygons flattens a path: one list of points for each of its pieces.
func (p path) polygons() (all [][]point) {
	var current []point
	end := func() {
		if len(current) > 0 {
			all = append(all, current)
		}
		current = nil
	}
	// Curves become short lines; a move or a close ends a polygon.
	for _, s := range p {
		switch s.op {
		case move:
			end()
			current = append(current, s.p[0])
		case line:
			current = append(current, s.p[0])
		case quad, cube:
			from := current[len(current)-1]
			for i := 1; i <= curveSteps; i++ {
				current = append(current, s.at(from, float64(i)/curveSteps))
			}
		case closePath:
			if len(current) > 0 {
				current = append(current, current[0])
			}
			end()
		}
	}
	end()
	return all
}

// at is the point of a curve at t from 0 to 1, by repeated interpolation (de Casteljau).
func (s segment) at(from point, t float64) point {
	if s.op == quad {
		return between(between(from, s.p[0], t), between(s.p[0], s.p[1], t), t)
	}
	a, b, c := between(from, s.p[0], t), between(s.p[0], s.p[1], t), between(s.p[1], s.p[2], t)
	return between(between(a, b, t), between(b, c, t), t)
}

func between(a, b point, t float64) point {
	return point{a.x + float64(t*(b.x-a.x)), a.y + float64(t*(b.y-a.y))}
}

// snapped rounds to 1/64 of a pixel.
func snapped(x float64) float64 { return math.Round(float64(64*x)) / 64 }

// Name is a size as it stands in the names of files: "1920x1080".
func (s Size) Name() string { return strconv.Itoa(s.Width) + "x" + strconv.Itoa(s.Height) }
