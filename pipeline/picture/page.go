package picture

import (
	"cmp"
	"strings"
)

// page is a drawing in the making: a title at the top, marks at the bottom, and room between.
type page struct {
	*Drawing
	names
	in *Input
	o  Options
	// plain, small and large are sizes of text; margin is round the edge.
	plain, small, large, margin float64
	// top and bottom of the room that is left.
	top, bottom float64
	alt         []string
}

func newPage(in *Input, o Options) *page {
	p := &page{Drawing: &Drawing{Size: o.Size, Transparent: o.Transparent}, in: in, o: o}
	p.names = names{in, &p.faces}
	p.plain = cmp.Or(o.FontSize, usualFont)
	p.margin = 64
	if o.Size == Preview {
		p.plain = float64(p.plain*26) / usualFont
		p.margin = 40
	}
	p.small = max(float64(p.plain*0.76), smallestOf(o.Size))
	p.large = float64(p.plain * 1.5)
	p.top, p.bottom = p.margin, float64(o.Size.Height)-p.margin
	p.marks()
	return p
}

// smallestOf is the size that no text goes below, pixels.
func smallestOf(s Size) float64 {
	if s == Preview {
		return 19
	}
	return 24
}

// left, right and width of the room.
func (p *page) left() float64  { return p.margin }
func (p *page) right() float64 { return float64(p.Size.Width) - p.margin }
func (p *page) width() float64 { return p.right() - p.left() }

// marks writes at the bottom whether the data are invented, and where all of it stands.
func (p *page) marks() {
	facts := &p.in.Result.Dataset.Facts
	if !facts.Invented && facts.SiteURL == "" {
		return
	}
	base := p.bottom
	width := p.width()
	if facts.Invented {
		text := "Invented data: a demonstration"
		p.words(text, p.left(), base, p.small, bold, start, alert)
		width -= p.measure(text, p.small, bold) + p.plain
	}
	address := strings.TrimSuffix(strings.TrimPrefix(facts.SiteURL, "https://"), "/")
	if address != "" {
		p.words(p.fit(address, width, p.small, regular), p.right(), base, p.small, regular, end, quiet)
	}
	p.bottom -= float64(2 * p.small)
}

// heading writes the title and a line below it.
func (p *page) heading(title, below string) {
	title = cmp.Or(p.o.Title, title)
	p.Title = title
	p.top = p.paragraph(p.sentence(title), p.left(), p.top, p.width(), p.large, bold, ink)
	if below != "" {
		p.top = p.paragraph(p.sentence(below), p.left(), p.top, p.width(), p.small, regular, quiet)
	}
	p.top += p.small
}

// say adds a sentence to the text alternative.
func (p *page) say(sentence string) { p.alt = append(p.alt, sentence) }

// note writes a sentence at the bottom of the room.
func (p *page) note(text string) {
	text = p.sentence(text)
	height := p.height(text, p.width(), p.small, regular)
	p.paragraph(text, p.left(), p.bottom-height, p.width(), p.small, regular, quiet)
	p.bottom -= height + p.small
}

// finish writes the text alternative.
func (p *page) finish() {
	if p.in.Result.Dataset.Facts.Invented {
		p.say("The data are invented, a demonstration.")
	}
	p.Alt = strings.Join(p.alt, " ")
}

// room is how high what is left is.
func (p *page) room() float64 { return p.bottom - p.top }
