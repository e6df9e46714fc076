package picture

import (
	"math"
	"strconv"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// maxShoes is how many shoes a picture shows.
const maxShoes = 8

// answer is the sentences with the chance of every shoe.
func (p *page) answer() {
	e, g := p.in.Speaker.Answers.Top()
	said := p.in.Speaker.Say(e, g)
	// The advice in large letters, then how sure and by how much.
	title := p.o.Title
	if title == "" {
		title = said.Advice
	}
	p.Title = title
	size := float64(p.plain * 2.2)
	for size > p.plain && p.height(p.sentence(title), p.width(), size, bold) > float64(p.room()*0.3) {
		size -= float64(p.plain / 5)
	}
	p.top = p.paragraph(p.sentence(title), p.left(), p.top, p.width(), size, bold, ink)
	p.top += float64(p.plain / 4)
	// As many sentences as leave room for the chances.
	for _, rest := range []string{english.Sentences(said.Claim, said.Size, said.Also),
		english.Sentences(said.Claim, said.Size), said.Claim} {
		size := float64(p.plain * 1.1)
		if text := p.sentence(rest); p.height(text, p.width(), size, regular) < float64(p.room()*0.32) {
			p.top = p.paragraph(text, p.left(), p.top, p.width(), size, regular, ink)
			break
		}
	}
	p.top += p.plain
	p.say(said.Headline())
	// What it rests on.
	if p.Size != Preview {
		p.note(said.Evidence + " " + english.Capitalise(p.in.Speaker.Basis(e)) + ".")
		p.say(said.Evidence)
	}
	p.chances(e, g)
}

// best says of what the chances are.
func best(e *answer.Effort) string {
	if e.Outcome == trial.Heart {
		return "the easiest at the same pace"
	}
	return "the fastest"
}

// chances draws a bar for the chance of each shoe.
func (p *page) chances(e *answer.Effort, g *answer.Group) {
	lines := p.in.Speaker.Standings(e, g)
	shown := lines[:min(len(lines), maxShoes)]
	head := "Chance of being " + best(e) + firstOf(len(shown), len(lines))
	p.words(head, p.left(), p.top+p.small, p.small, regular, start, quiet)
	p.top += float64(p.small * 1.8)
	most := float64(p.plain * 2.4)
	if p.Size.Height > p.Size.Width {
		most = float64(p.plain * 4.4)
	}
	pitch := min(p.room()/float64(len(shown)), most)
	name, value := p.nameWidth(shown), p.measure("under 1 %", p.plain, bold)
	for i := range shown {
		l := &shown[i]
		y := p.top + float64(pitch*float64(i))
		base := y + float64(pitch/2) + float64(p.textSize(pitch)*0.36)
		p.shoeName(l, y+float64(pitch/2), base, name, p.textSize(pitch))
		x := p.left() + name
		width := p.width() - name - value - p.plain
		bar := min(float64(pitch*0.5), float64(p.plain*1.4))
		p.rect(x, y+float64((pitch-bar)/2), width, bar, faint)
		p.rect(x, y+float64((pitch-bar)/2), max(float64(width*l.Best), 3), bar, shoeColour(p.in.place(l.Shoe)))
		p.words(l.Chance(), p.right(), base, p.textSize(pitch), bold, end, ink)
		p.say(p.of(l.Shoe) + ": " + l.Chance() + ".")
	}
}

// firstOf says that only some are shown; "" where all are.
func firstOf(shown, all int) string {
	if shown == all {
		return ""
	}
	return ", the first " + strconv.Itoa(shown) + " of " + strconv.Itoa(all)
}

// textSize is the size of text in a row of a height.
func (p *page) textSize(pitch float64) float64 {
	return max(min(p.plain, float64(pitch*0.7)), smallestOf(p.Size))
}

// nameWidth is the room that the names with their marks take.
func (p *page) nameWidth(lines []answer.Standing) float64 {
	widest := 0.0
	for i := range lines {
		widest = max(widest, p.measure(isolated(p.of(lines[i].Shoe)), p.plain, bold))
	}
	return min(widest+float64(p.plain*2), float64(p.width()*0.38))
}

// shoeName draws the mark and the name of a shoe.
func (p *page) shoeName(l *answer.Standing, middleY, base, width, size float64) {
	place := p.in.place(l.Shoe)
	name := p.fit(p.of(l.Shoe), width-float64(size*1.6), size, bold)
	p.words(name, p.left()+float64(size*1.15), base, size, bold, start, ink)
	p.mark(figure.Outline(place), p.left()+float64(size*0.45), middleY, float64(size*0.36), shoeColour(place))
}

// ranking is how far every shoe is behind the leader, with its interval: right is faster, as in
// every figure.
func (p *page) ranking() {
	s := p.in.Speaker
	e, g := s.Answers.Top()
	lines := s.Standings(e, g)
	shown := lines[:min(len(lines), maxShoes)]
	leader := p.of(lines[0].Shoe)
	behind, better := "% behind "+leader+" in speed", ": right is faster"
	if e.Outcome == trial.Heart {
		behind, better = "% higher in heart rate than "+leader, ": right is easier"
	}
	p.heading("How far is "+leader+" ahead?", behind+" at "+e.Effort.Same()+firstOf(len(shown), len(lines))+better+
		". Lines are 95 % intervals.")
	timed := s.Race != nil && e.Outcome == trial.Speed
	if timed && (p.room()-float64(p.small*5))/float64(len(shown)) > float64(p.small*2.5) {
		p.note("Minutes and seconds: over " + s.RaceText() + ".")
	}
	p.say(s.Say(e, g).Headline())
	// The scale holds every interval and zero.
	from, to := 0.0, 0.0
	for i := range shown {
		if b := shown[i].Behind; b != nil {
			from, to = min(from, decide.Percent(b.D.Low)), max(to, decide.Percent(b.D.High))
		}
	}
	narrow := p.Size.Width < p.Size.Height
	name := p.nameWidth(shown)
	value := p.measure("+0.0 % (+0.0 to +0.0 %)", p.small, regular) + p.plain
	scale, most := p.scale(from, to, p.right()-value, p.left()+name), float64(p.plain*5)
	if narrow {
		scale, most = p.scale(from, to, p.right(), p.left()), float64(p.plain*7.5)
	}
	p.bottom = min(p.bottom, p.top+float64(most*float64(len(shown)))+float64(p.small*1.6))
	p.axis(scale, !narrow)
	pitch := p.room() / float64(len(shown))
	for i := range shown {
		p.rankingRow(&shown[i], p.top+float64(pitch*float64(i)), pitch, scale, name, narrow)
	}
}

// rankingRow draws one shoe of the ranking.
func (p *page) rankingRow(l *answer.Standing, y, pitch float64, scale scale, name float64, narrow bool) {
	size := p.textSize(pitch / 2)
	place := p.in.place(l.Shoe)
	at := y + float64(pitch/2)
	if narrow {
		name = p.width()
		p.shoeName(l, y+float64(size*0.7), y+size, float64(p.width()*0.5), size)
		at = min(y+size+float64(p.small*3), y+float64(pitch*0.75))
		half := min(float64(pitch*0.14), p.small)
		for _, x := range scale.steps {
			p.gridLine(scale, x, at-half, at+half)
		}
	} else {
		p.shoeName(l, at, at+float64(size*0.36), name, size)
	}
	zero := scale.at(0)
	if l.Behind == nil {
		p.mark(figure.Outline(place), zero, at, float64(size*0.4), shoeColour(place))
		p.say(p.of(l.Shoe) + " leads.")
		return
	}
	d := l.Behind.D
	p.line(scale.at(decide.Percent(d.Low)), at, scale.at(decide.Percent(d.High)), at, max(float64(size*0.14), 3),
		shoeColour(place))
	p.mark(figure.Outline(place), scale.at(decide.Percent(d.Mean)), at, float64(size*0.4), shoeColour(place))
	base, clock := at-float64(p.small*0.15), at+float64(p.small*1.05)
	time := l.Clock()
	if pitch < float64(p.small*2.5) {
		time = "" // no room for two lines
	}
	if time == "" {
		base = at + float64(p.small*0.36)
	}
	if narrow {
		base, clock = y+size, y+size+float64(p.small*1.25)
	}
	p.words(l.Percent(), p.right(), base, p.small, regular, end, ink)
	p.words(time, p.right(), clock, p.small, regular, end, quiet)
	p.say(p.of(l.Shoe) + " is behind by " + l.Percent() + ".")
}

// scale places values from one end to the other; they may grow to the left.
type scale struct {
	low, high, from, to float64
	steps               []float64
}

func (s scale) at(x float64) float64 {
	return s.from + float64((s.to-s.from)*(x-s.low))/(s.high-s.low)
}

// scale makes a scale over round numbers that holds a range.
func (p *page) scale(low, high, from, to float64) scale {
	if !(high > low) {
		low, high = low-1, high+1
	}
	step := roundStep((high - low) / 5)
	s := scale{from: from, to: to, low: float64(math.Floor(low/step) * step),
		high: float64(math.Ceil(high/step) * step)}
	for i := 0; i <= int(math.Round((s.high-s.low)/step)); i++ {
		s.steps = append(s.steps, s.low+float64(step*float64(i)))
	}
	return s
}

// roundStep is the next of 1, 2, 5, 10 and so on, or 0.5, 0.2, 0.1.
func roundStep(x float64) float64 {
	for _, power := range []float64{0.001, 0.01, 0.1, 1, 10, 100, 1000} {
		for _, digit := range []float64{1, 2, 5} {
			if step := float64(digit * power); step >= x {
				return step
			}
		}
	}
	return x
}

// gridLine draws one line of a scale.
func (p *page) gridLine(s scale, x, top, bottom float64) {
	width, c := 2.0, rule
	if math.Abs(x) < 1e-9 {
		width, c = 3, quiet
	}
	p.line(s.at(x), top, s.at(x), bottom, width, c)
}

// axis draws the scale's numbers at the bottom of the room and, where asked, its lines over
// the room.
func (p *page) axis(s scale, lines bool) {
	p.bottom -= float64(p.small * 1.6)
	for _, x := range s.steps {
		if lines {
			p.gridLine(s, x, p.top, p.bottom)
		}
	}
	p.numbers(s, p.bottom+float64(p.small*1.3), func(x float64) string { return tick(x, s.steps) })
}

// numbers writes the numbers of a scale on a base line, and only every second of them, or
// fewer, where all would touch. Zero stays.
func (p *page) numbers(s scale, base float64, text func(float64) string) {
	widest, zero := 0.0, 0
	for i, x := range s.steps {
		widest = max(widest, p.measure(text(x), p.small, regular))
		if math.Abs(x) < 1e-9 {
			zero = i
		}
	}
	every := 1
	if len(s.steps) > 1 {
		pitch := math.Abs(s.at(s.steps[1]) - s.at(s.steps[0]))
		every = max(1, int(math.Ceil((widest+float64(p.small*0.6))/pitch)))
	}
	for i := zero % every; i < len(s.steps); i += every {
		p.words(text(s.steps[i]), s.at(s.steps[i]), base, p.small, regular, middle, quiet)
	}
}

// tick writes a number of a scale with as many decimals as its steps need.
func tick(x float64, steps []float64) string {
	decimals := 0
	if len(steps) > 1 {
		for step := steps[1] - steps[0]; decimals < 3 && math.Abs(step-math.Round(step)) > 1e-6; decimals++ {
			step = float64(step * 10)
		}
	}
	if math.Abs(x) < 1e-9 {
		x = 0
	}
	return units.FormatDecimal(x, decimals)
}
