// Package picture draws the answer for a video, a post and link previews, as SVG and PNG.
//
// A figure is described once, as a [Drawing]: filled outlines, strokes and shaped text at
// places in pixels. [Drawing.SVG] and [Drawing.PNG] write the same description. [Figures]
// are all there are; [Input] is what they are drawn from, [Options] how.
//
// Text is set in DejaVu Sans, shaped and ordered by go-text/typesetting, so that names in
// Hebrew or Arabic letters come out as they are read; the SVG holds the outlines of the
// letters and looks the same everywhere. A name with letters that the font lacks is replaced
// by the shoe's id.
//
// The same input gives the same bytes on every processor: outlines are flattened and
// rounded to 1/64 of a pixel with products rounded before they are added to, and filled by
// golang.org/x/image/vector in tiles small enough for its fixed-point arithmetic.
package picture
