package picture

import (
	"math"
	"slices"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func needsSession(in *Input) string {
	switch {
	case in.session() == nil:
		return "there is no session"
	case len(in.timed()) == 0:
		return "no block of the session has times"
	}
	return ""
}

func needsTraces(in *Input) string {
	if why := needsSession(in); why != "" {
		return why
	}
	if len(in.channels()) == 0 {
		return "the session has no recording"
	}
	return ""
}

// timed are the session's blocks that have times.
func (in *Input) timed() (blocks []derive.Block) {
	for _, b := range in.blocks() {
		if b.End > b.Start {
			blocks = append(blocks, b)
		}
	}
	return blocks
}

// legend writes the shoes of some blocks in a row with their marks.
func (p *page) legend(blocks []derive.Block) {
	var shoes []string
	for i := range blocks {
		if !slices.Contains(shoes, blocks[i].Shoe) {
			shoes = append(shoes, blocks[i].Shoe)
		}
	}
	x := p.left()
	for _, shoe := range shoes {
		place := p.in.place(shoe)
		name := p.fit(p.of(shoe), float64(p.width()*0.4), p.plain, bold)
		width := p.measure(name, p.plain, bold) + float64(p.plain*2.2)
		if x > p.left() && x+width > p.right() {
			x = p.left()
			p.top += float64(p.plain * 1.5)
		}
		p.words(name, x+float64(p.plain*1.1), p.top+p.plain, p.plain, bold, start, ink)
		p.mark(figure.Outline(place), x+float64(p.plain*0.45), p.top+float64(p.plain*0.6), float64(p.plain*0.36),
			shoeColour(place))
		x += width
	}
	p.top += float64(p.plain * 1.8)
}

// order is the strip of a session's blocks.
func (p *page) order() {
	s, blocks := p.in.session(), p.in.timed()
	below := "Blocks at " + s.Effort().Same() + ", minutes from the start. Solid: the steady window."
	if slices.ContainsFunc(blocks, func(b derive.Block) bool { return !b.Included }) {
		below += " Crossed out: excluded."
	}
	p.heading("The order of the shoes on "+answer.SessionName(p.in.Result.Dataset, s.ID), below)
	p.legend(blocks)
	first, last := blocks[0].Start, blocks[0].End
	for i := range blocks {
		first, last = min(first, blocks[i].Start), max(last, blocks[i].End)
	}
	sc := p.minutes(first, last, p.left(), p.right())
	height := min(float64(p.room()*0.6), float64(p.plain*14))
	top := p.top + float64((p.room()-height-float64(p.small*3))/2)
	for i := range blocks {
		b := &blocks[i]
		p.block(b, sc, top, height)
		p.say("Block " + b.Block + ": " + p.of(b.Shoe) + ", from " + units.FormatClock(b.Start) + " to " +
			units.FormatClock(b.End) + ".")
	}
	for _, t := range sc.steps {
		p.line(sc.at(t), top+height, sc.at(t), top+height+10, 3, quiet)
	}
	p.numbers(sc, top+height+float64(p.small*1.6), inMinutes)
}

// block draws one block of the strip.
func (p *page) block(b *derive.Block, sc scale, top, height float64) {
	place := p.in.place(b.Shoe)
	c := shoeColour(place)
	x, width := sc.at(b.Start), sc.at(b.End)-sc.at(b.Start)
	p.rect(x, top, width, height, pale(c))
	if b.To > b.From {
		p.rect(sc.at(b.From), top, sc.at(b.To)-sc.at(b.From), height, c)
	}
	p.mark(figure.Outline(place), x+float64(width/2), top-p.plain, min(float64(p.plain*0.36), float64(width*0.4)), c)
	if !b.Included {
		p.line(x, top, x+width, top+height, 5, paper)
		p.line(x, top, x+width, top+height, 3, ink)
		p.line(x, top+height, x+width, top, 3, ink)
	}
}

// pale mixes a colour with the ground, one part to two.
func pale(c colour) colour {
	mix := func(a uint8) uint8 { return uint8((int(a) + 2*255) / 3) }
	return colour{mix(c.r), mix(c.g), mix(c.b)}
}

// minutes is a scale of time with marks at round minutes.
func (p *page) minutes(low, high, from, to float64) scale {
	s := scale{low: low, high: high, from: from, to: to}
	step := 60.0
	for _, minutes := range []float64{1, 2, 5, 10, 20, 30, 60, 120, 300} {
		step = float64(60 * minutes)
		if (high-low)/step <= 10 {
			break
		}
	}
	for t := float64(math.Ceil(low/step) * step); t <= high; t += step {
		s.steps = append(s.steps, t)
	}
	return s
}

// inMinutes writes seconds as whole minutes.
func inMinutes(s float64) string { return units.FormatDecimal(s/60, 0) }

// heldChannel is the channel that an effort holds.
var heldChannel = map[trial.Effort]trial.Channel{trial.Power: trial.PowerW, trial.Pace: trial.SpeedMps,
	trial.HeartRate: trial.HeartRateBpm}

// traced is one channel with the recording that it comes from.
type traced struct {
	channel trial.Channel
	source  *trial.Recording
}

// channels are the channels of the session that are drawn: what was held first.
func (in *Input) channels() (drawn []traced) {
	s := in.session()
	if in.Recordings == nil || s == nil {
		return nil
	}
	recordings, _ := in.Recordings(s)
	sources := steady.Sources(in.Result.Dataset.Facts.Method, recordings)
	for _, c := range []trial.Channel{heldChannel[s.Effort()], trial.PowerW, trial.SpeedMps, trial.HeartRateBpm} {
		known := slices.ContainsFunc(drawn, func(t traced) bool { return t.channel == c })
		if sources[c] != nil && !known {
			drawn = append(drawn, traced{c, sources[c]})
		}
	}
	return drawn
}

// binS is over how many seconds a trace is smoothed.
const binS = 15

// traces are the blocks of a session laid over each other, one panel for each channel.
func (p *page) traces() {
	s, blocks, channels := p.in.session(), p.in.timed(), p.in.channels()
	if p.Size == Preview {
		channels = channels[:min(len(channels), 2)]
	}
	p.heading("The blocks of "+answer.SessionName(p.in.Result.Dataset, s.ID),
		"Means of 15 s, minutes from the start of each block. Grey: the steady window.")
	p.legend(blocks)
	pitch := p.room() / float64(len(channels))
	for i, t := range channels {
		p.panel(t, blocks, p.top+float64(pitch*float64(i)), float64(pitch*0.92))
	}
}

// panel draws one channel of all blocks.
func (p *page) panel(t traced, blocks []derive.Block, top, height float64) {
	// The lines and what they span.
	info := t.channel.Info()
	length, from, to := 0.0, units.Missing, units.Missing
	low, high := math.Inf(1), math.Inf(-1)
	lines := make([][]point, len(blocks))
	for i := range blocks {
		b := &blocks[i]
		length = max(length, b.End-b.Start)
		begin, finish := t.window(b)
		if !(from >= begin) {
			from = begin
		}
		if !(to <= finish) {
			to = finish
		}
		lines[i] = t.line(b)
		for _, at := range lines[i] {
			if at.x >= begin && at.x <= finish {
				low, high = min(low, at.y), max(high, at.y)
			}
		}
	}
	if !(high >= low) {
		return
	}
	spare := max(float64((high-low)*0.15), float64(high*0.005))
	low, high = low-spare, high+spare
	// The frame.
	p.words(english.Capitalise(info.Label)+", "+info.Unit, p.left(), top+p.small, p.small, bold, start, ink)
	upper, lower := top+float64(p.small*2), top+height-float64(p.small*1.5)
	gutter := p.measure("000.00", p.small, regular) + 12
	x := p.minutes(0, length, p.left()+gutter, p.right())
	y := p.scale(low, high, lower, upper)
	if to > from {
		p.rect(x.at(from), upper, x.at(to)-x.at(from), lower-upper, faint)
	}
	for i, v := range y.steps {
		if len(y.steps) > 4 && i%2 == 1 {
			continue
		}
		p.line(x.from, y.at(v), x.to, y.at(v), 1.5, rule)
		p.words(tick(v, y.steps), x.from-12, y.at(v)+float64(p.small*0.36), p.small, regular, end, quiet)
	}
	p.numbers(x, lower+float64(p.small*1.3), inMinutes)
	// The blocks.
	for i, l := range lines {
		p.trace(l, &blocks[i], x, y)
	}
	p.say(english.Capitalise(info.Label) + " in " + units.Count(len(blocks), "block") + ", one line each.")
}

// window is a block's steady window in seconds from its start.
func (t traced) window(b *derive.Block) (from, to float64) {
	if t.channel == trial.HeartRateBpm {
		return b.HeartFrom - b.Start, b.HeartTo - b.Start
	}
	return b.From - b.Start, b.To - b.Start
}

// line is a block's channel in means of some seconds from its start.
func (t traced) line(b *derive.Block) (line []point) {
	shift := t.source.Offset() - b.Start
	sum, n, bin := 0.0, 0.0, -1.0
	end := func() {
		if n > 0 {
			line = append(line, point{min(float64((bin+0.5)*binS), b.End-b.Start), sum / n})
		}
		sum, n = 0, 0
	}
	for i, elapsed := range t.source.Samples.Elapsed {
		at, v := elapsed+shift, t.source.Samples.Values[t.channel][i]
		if at < 0 || at >= b.End-b.Start || !units.Known(v) {
			continue
		}
		if next := math.Floor(at / binS); next != bin {
			end()
			bin = next
		}
		sum += v
		n++
	}
	end()
	return line
}

// trace draws a line, cut to the panel, with the shoe's mark at its end.
func (p *page) trace(line []point, b *derive.Block, x, y scale) {
	place := p.in.place(b.Shoe)
	c, width := shoeColour(place), 4.0
	if !b.Included {
		c, width = pale(c), 2
	}
	var run path
	flush := func() {
		if len(run) > 1 {
			p.stroke(run, width, c)
		}
		run = nil
	}
	// A gap in the recording or in the scale is a gap in the line.
	last := point{-1, 0}
	for _, at := range line {
		if at.y < y.low || at.y > y.high || last.x >= 0 && at.x-last.x > 2*binS {
			flush()
		}
		last = at
		if at.y < y.low || at.y > y.high {
			continue
		}
		op := lineTo(run)
		run = append(run, segment{op: op, p: [3]point{{x.at(at.x), y.at(at.y)}}})
	}
	// The shoe's mark at the end of the line.
	if len(run) > 0 {
		p.mark(figure.Outline(place), run[len(run)-1].p[0].x, run[len(run)-1].p[0].y, float64(p.small*0.32), c)
	}
	flush()
}

// lineTo is how a path goes on.
func lineTo(run path) segmentOp {
	if len(run) == 0 {
		return move
	}
	return line
}
