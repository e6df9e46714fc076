package picture

import (
	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/units"
)

// weighed is one shoe against the reference shoe over the race.
type weighed struct {
	shoe, reference string
	forecast.Breakdown
}

// weighed are the shoes whose difference can be split.
func (in *Input) weighed() (list []weighed) {
	ds, race := in.Result.Dataset, in.Speaker.Race
	if race == nil {
		return nil
	}
	for _, s := range derive.Sources(in.Result, "") {
		shoe, reference := ds.Shoe(s.Shoe), ds.Shoe(s.Reference)
		if shoe == nil || reference == nil || !units.Known(shoe.MassG) || !units.Known(reference.MassG) {
			continue
		}
		list = append(list, weighed{s.Shoe, s.Reference,
			forecast.BreakDown(s.Effect, *race, shoe.MassG, reference.MassG, ds.Facts.Method.WeightPctPer100g)})
	}
	return list
}

func needsWeight(in *Input) string {
	switch {
	case in.Speaker.Race == nil:
		return "no race is named: add --race"
	case len(in.weighed()) == 0:
		return "no difference in speed between two shoes that were weighed"
	}
	return ""
}

// span is time saved over a race with its interval.
func span(r forecast.Range) answer.RaceTime {
	return answer.RaceTime{Mid: -(r.Min + r.Max) / 2, Low: -r.High, High: -r.Low}
}

// weight splits what each shoe saves over a race in what its weight leads one to expect and
// the rest.
func (p *page) weight() {
	list := p.in.weighed()
	reference := p.of(list[0].reference)
	p.heading("How much of it is weight?", "Time saved against "+reference+" over "+p.in.Speaker.RaceText()+
		", minutes and seconds.")
	// As many shoes as there is room for.
	// On an upright picture the words of a line stand above it, and it has the whole width.
	upright := p.Size.Width < p.Size.Height
	rowHeight, all := float64(p.small*1.25), len(list)
	if upright {
		rowHeight = float64(p.small * 2.8)
	}
	list = list[:min(len(list), max(1, int((p.room()-float64(p.small*6))/float64(rowHeight*3.3))), maxShoes)]
	p.note("By weight: published energy cost of mass. The rest: foam, plate, fit, sensor or chance." +
		more(all-len(list)))
	low, high := 0.0, 0.0
	for i := range list {
		for _, r := range []forecast.Range{list[i].Change, list[i].Weight, list[i].Rest} {
			low, high = min(low, span(r).Low), max(high, span(r).High)
		}
	}
	name := min(float64(p.width()*0.34), float64(p.plain*9))
	value := p.measure("+0:00 (+0:00 to +0:00)", p.small, regular) + p.plain
	x, most := p.scale(low, high, p.left()+name, p.right()-value), float64(rowHeight*6)
	if upright {
		x, most = p.scale(low, high, p.left(), p.right()), float64(rowHeight*4.2)
	}
	x.steps = p.minutes(x.low, x.high, 0, 1).steps
	p.bottom = min(p.bottom, p.top+float64(most*float64(len(list)))+float64(p.small*1.6))
	p.timeAxis(x, !upright)
	pitch := p.room() / float64(len(list))
	for i := range list {
		p.weightRows(&list[i], p.top+float64(pitch*float64(i)), float64(pitch/3.3), x, upright)
	}
}

// more says how many shoes are not shown; "" for none.
func more(shoes int) string {
	if shoes == 0 {
		return ""
	}
	return " " + units.Count(shoes, "more shoe") + " did not fit."
}

// timeAxis draws an axis of minutes and seconds and, where asked, its lines over the room.
func (p *page) timeAxis(x scale, lines bool) {
	p.bottom -= float64(p.small * 1.6)
	for _, t := range x.steps {
		if lines {
			p.gridLine(x, t, p.top, p.bottom)
		}
	}
	p.numbers(x, p.bottom+float64(p.small*1.3), answer.SignedClock)
}

// weightRows draws the three parts of one shoe.
func (p *page) weightRows(w *weighed, y, pitch float64, x scale, upright bool) {
	// The whole, then its two parts.
	place := p.in.place(w.shoe)
	c := shoeColour(place)
	name := p.of(w.shoe)
	for i, part := range []struct {
		words string
		r     forecast.Range
	}{{name, w.Change}, {"by weight", w.Weight}, {"the rest", w.Rest}} {
		at, half := y+float64(pitch*(float64(i)+0.5)), float64(pitch*0.28)
		base := at + float64(p.small*0.36)
		t := span(part.r)
		if upright {
			base = y + float64(pitch*float64(i)) + p.small
			at, half = base+p.small, float64(p.small*0.4)
			for _, step := range x.steps {
				p.gridLine(x, step, at-float64(half*1.4), at+float64(half*1.4))
			}
		}
		if i == 0 {
			// Its name, with the shoe's mark before the whole.
			room := max(x.from-p.left(), float64(p.width()*0.34))
			short := p.fit(name, room-float64(p.small*1.8), p.small, bold)
			p.words(short, p.left()+float64(p.small*1.2), base, p.small, bold, start, ink)
			p.mark(figure.Outline(place), p.left()+float64(p.small*0.45), base-float64(p.small*0.36),
				float64(p.small*0.4), c)
		} else {
			p.words(part.words, p.left()+float64(p.small*1.2), base, p.small, regular, start, ink)
		}
		// The interval, and on it the estimate: a mark, or a bar from zero for the weight.
		p.line(x.at(t.Low), at, x.at(t.High), at, max(float64(p.small*0.12), 3), c)
		if i == 1 {
			p.rect(min(x.at(0), x.at(t.Mid)), at-half, max(x.at(t.Mid)-x.at(0), x.at(0)-x.at(t.Mid)),
				float64(2*half), pale(c))
			p.line(x.at(t.Low), at, x.at(t.High), at, max(float64(p.small*0.12), 3), c)
		} else {
			p.mark(figure.Outline(place), x.at(t.Mid), at, float64(p.small*0.4), c)
		}
		// In words, beside it and for those who cannot see it.
		p.words(t.Clock(), p.right(), base, p.small, regular, end, ink)
		if i == 0 {
			p.say(name + ": in all " + t.Clock() + ".")
		} else {
			p.say(part.words + " " + t.Clock() + ".")
		}
	}
}
