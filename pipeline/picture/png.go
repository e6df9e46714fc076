package picture

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"

	"golang.org/x/image/vector"
)

// PNG writes the drawing.
func (d *Drawing) PNG() []byte {
	canvas := image.NewRGBA(image.Rect(0, 0, d.Width, d.Height))
	if !d.Transparent {
		for i := range canvas.Pix {
			canvas.Pix[i] = 0xff
		}
	}
	r := raster{to: canvas}
	for _, s := range d.shapes {
		r.fill(d.polygons(s), s.colour)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, canvas); err != nil {
		panic("picture: a picture in memory cannot be written: " + err.Error())
	}
	return b.Bytes()
}

// polygons are what a shape fills: of a fill its outlines, of a stroke the pieces that its
// width makes.
func (d *Drawing) polygons(s shape) (all [][]point) {
	if len(s.glyphs) == 0 {
		if s.width > 0 {
			return strokes(s.path.polygons(), s.width/2)
		}
		return s.path.polygons()
	}
	scale := s.size / d.faces.em(s.glyphs[0].weight)
	for _, g := range s.glyphs {
		outline := d.faces.outline(g).polygons()
		for _, piece := range outline {
			for i, p := range piece {
				piece[i] = point{g.x + float64(p.x*scale), g.y - float64(p.y*scale)}
			}
		}
		all = append(all, outline...)
	}
	return all
}

// strokes gives lines a width: for each of their pieces a rectangle, for each of their
// points a joint.
func strokes(lines [][]point, radius float64) (all [][]point) {
	for _, l := range lines {
		for i, p := range l {
			all = append(all, joint(p, radius))
			if i == 0 {
				continue
			}
			from := l[i-1]
			dx, dy := p.x-from.x, p.y-from.y
			length := math.Sqrt(float64(dx*dx) + float64(dy*dy))
			if length == 0 {
				continue
			}
			nx, ny := float64(-dy*radius)/length, float64(dx*radius)/length
			all = append(all, []point{{from.x - nx, from.y - ny}, {p.x - nx, p.y - ny}, {p.x + nx, p.y + ny},
				{from.x + nx, from.y + ny}, {from.x - nx, from.y - ny}})
		}
	}
	return all
}

// corner is the sine and cosine of 45 degrees.
const corner = 0.70710678118654752

// joint is a regular octagon round a point, which no eye tells from a circle at the widths
// of lines here.
func joint(p point, r float64) []point {
	c := float64(r * corner)
	return []point{{p.x + r, p.y}, {p.x + c, p.y + c}, {p.x, p.y + r}, {p.x - c, p.y + c}, {p.x - r, p.y},
		{p.x - c, p.y - c}, {p.x, p.y - r}, {p.x + c, p.y - c}}
}

// tile is the side of the squares that are filled at a time: small enough for the
// rasterizer's fixed-point arithmetic, which gives the same on every processor.
const tile = 256

// raster fills polygons.
type raster struct {
	to *image.RGBA
	of vector.Rasterizer
}

// fill paints polygons together, where they overlap once.
func (r *raster) fill(polygons [][]point, c colour) {
	var all box
	boxes := make([]box, len(polygons))
	for i, polygon := range polygons {
		for k, p := range polygon {
			polygon[k] = point{snapped(p.x), snapped(p.y)}
		}
		boxes[i] = boxOf(polygon)
		all = all.with(boxes[i])
	}
	all = all.whole().within(r.bounds())
	for y := float64(math.Floor(all.top/tile) * tile); y < all.bottom; y += tile {
		for x := float64(math.Floor(all.left/tile) * tile); x < all.right; x += tile {
			r.fillTile(polygons, boxes, box{x, y, x + tile, y + tile, true}.within(all), c)
		}
	}
}

// bounds is the whole canvas.
func (r *raster) bounds() box {
	return box{0, 0, float64(r.to.Rect.Dx()), float64(r.to.Rect.Dy()), true}
}

func (r *raster) fillTile(polygons [][]point, boxes []box, at box, c colour) {
	r.of.Reset(int(at.right-at.left), int(at.bottom-at.top))
	drawn := false
	// Only what meets the tile, cut to it: the rasterizer takes time for what lies outside.
	for i, polygon := range polygons {
		if !boxes[i].meets(at) {
			continue
		}
		clipped := polygon
		if !at.holds(boxes[i]) {
			clipped = clip(polygon, at)
		}
		for k, p := range clipped {
			x, y := float32(p.x-at.left), float32(p.y-at.top)
			if k == 0 {
				r.of.MoveTo(x, y)
			} else {
				r.of.LineTo(x, y)
			}
		}
		r.of.ClosePath()
		drawn = true
	}
	if drawn {
		where := image.Rect(int(at.left), int(at.top), int(at.right), int(at.bottom))
		r.of.Draw(r.to, where, image.NewUniform(color.RGBA{c.r, c.g, c.b, 0xff}), image.Point{})
	}
}

// box is a rectangle; the zero value holds nothing.
type box struct {
	left, top, right, bottom float64
	some                     bool
}

func boxOf(polygon []point) (b box) {
	for _, p := range polygon {
		b = b.with(box{p.x, p.y, p.x, p.y, true})
	}
	return b
}

func (b box) with(c box) box {
	switch {
	case !b.some:
		return c
	case !c.some:
		return b
	}
	return box{min(b.left, c.left), min(b.top, c.top), max(b.right, c.right), max(b.bottom, c.bottom), true}
}

// whole grows a box to whole pixels.
func (b box) whole() box {
	return box{math.Floor(b.left), math.Floor(b.top), math.Ceil(b.right), math.Ceil(b.bottom), b.some}
}

func (b box) within(c box) box {
	return box{max(b.left, c.left), max(b.top, c.top), min(b.right, c.right), min(b.bottom, c.bottom), b.some}
}

func (b box) meets(c box) bool {
	return b.some && b.left < c.right && b.right > c.left && b.top < c.bottom && b.bottom > c.top
}

func (b box) holds(c box) bool {
	return b.left <= c.left && b.right >= c.right && b.top <= c.top && b.bottom >= c.bottom
}

// clip cuts a polygon to a box (Sutherland and Hodgman 1974).
func clip(polygon []point, to box) []point {
	for _, edge := range []struct {
		inside func(point) bool
		cross  func(a, b point) point
	}{
		{func(p point) bool { return p.x >= to.left }, func(a, b point) point { return atX(a, b, to.left) }},
		{func(p point) bool { return p.x <= to.right }, func(a, b point) point { return atX(a, b, to.right) }},
		{func(p point) bool { return p.y >= to.top }, func(a, b point) point { return atY(a, b, to.top) }},
		{func(p point) bool { return p.y <= to.bottom }, func(a, b point) point { return atY(a, b, to.bottom) }},
	} {
		var cut []point
		for i, p := range polygon {
			before := polygon[(i+len(polygon)-1)%len(polygon)]
			if edge.inside(p) != edge.inside(before) {
				cut = append(cut, edge.cross(before, p))
			}
			if edge.inside(p) {
				cut = append(cut, p)
			}
		}
		polygon = cut
	}
	return polygon
}

func atX(a, b point, x float64) point { return point{x, snapped(between(a, b, (x-a.x)/(b.x-a.x)).y)} }

func atY(a, b point, y float64) point { return point{snapped(between(a, b, (y-a.y)/(b.y-a.y)).x), y} }
