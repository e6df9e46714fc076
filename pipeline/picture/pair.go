package picture

import (
	"math"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// sideBySide are the outcomes that a pair is compared in.
var sideBySide = []trial.Outcome{trial.Speed, trial.PacePerKm, trial.Cadence, trial.StepLength, trial.Heart,
	trial.Contact, trial.Oscillation}

// pairOf is the pair that is set side by side, the better shoe first.
func (in *Input) pairOf() (*answer.Effort, *answer.Pair) {
	e, g := in.Speaker.Answers.Top()
	switch {
	case g == nil:
		return nil, nil
	case in.Pair == [2]string{}:
		return e, g.Lead
	}
	return e, e.Pair(in.Pair[0], in.Pair[1])
}

func needsPair(in *Input) string {
	if _, p := in.pairOf(); p == nil {
		return "the two shoes were not compared in the effort that decides"
	}
	return ""
}

// sideRow is one outcome of a pair at equal effort.
type sideRow struct {
	outcome          trial.Outcome
	shoe, reference  string // with unit
	difference       string
	clear, unbounded bool
}

// pair sets two shoes side by side.
func (p *page) pair() {
	e, pair := p.in.pairOf()
	a, b := p.of(pair.Shoe), p.of(pair.Reference)
	p.heading(a+" and "+b+" at "+e.Effort.Same(),
		"Means at equal effort, and the difference with its 95 % interval: bold where it is clear.")
	p.note(english.Capitalise(e.Outcome.Info().Label) +
		" as in the answer; each of the others on its own, without assumptions.")
	var rows []sideRow
	for _, o := range sideBySide {
		if r, ok := p.in.sideRow(e, pair, o); ok {
			rows = append(rows, r)
		}
	}
	c := p.pairColumns(len(rows))
	p.pairName(pair.Shoe, c.shoe, c)
	p.pairName(pair.Reference, c.reference, c)
	if !c.stacked {
		p.words("difference", c.difference, p.top+c.size, c.size, bold, end, ink)
	}
	for i, r := range rows {
		p.sideRow(&r, p.top+float64(c.size*2)+float64(c.pitch*float64(i)), c)
	}
}

// pairColumns are the right ends of the columns of a pair's table.
type pairColumns struct {
	shoe, reference, difference float64
	pitch, size                 float64
	stacked                     bool // the difference stands below the means
}

func (p *page) pairColumns(rows int) pairColumns {
	c := pairColumns{shoe: p.left() + float64(p.width()*0.46), reference: p.left() + float64(p.width()*0.68),
		difference: p.right(), stacked: p.Size.Width < p.Size.Height}
	most := float64(p.plain * 3.2)
	if c.stacked {
		c.shoe, c.reference, most = p.left()+float64(p.width()*0.66), p.right(), float64(p.plain*4)
	}
	c.pitch = min((p.room()-float64(p.plain*2))/float64(rows), most)
	c.size = p.textSize(c.pitch)
	return c
}

// pairName writes the name of a shoe at the head of its column.
func (p *page) pairName(shoe string, x float64, c pairColumns) {
	place := p.in.place(shoe)
	room := float64(p.width() * 0.17)
	if c.stacked {
		room = float64(p.width() * 0.26)
	}
	name := p.fit(p.of(shoe), room, c.size, bold)
	p.words(name, x, p.top+c.size, c.size, bold, end, ink)
	p.mark(figure.Outline(place), x-p.measure(name, c.size, bold)-float64(c.size*0.7), p.top+float64(c.size*0.65),
		float64(c.size*0.36), shoeColour(place))
}

// sideRow draws one outcome.
func (p *page) sideRow(r *sideRow, y float64, c pairColumns) {
	p.line(p.left(), y, p.right(), y, 2, faint)
	word, face := "no clear difference", regular
	switch {
	case r.unbounded:
		word = "no interval"
	case r.clear:
		word, face = "clear", bold
	}
	base := y + float64(c.pitch*0.5)
	lower := base + float64(p.small*1.2)
	switch {
	case c.stacked:
		base = y + float64(c.size*1.4)
		p.words(r.difference+", "+word, c.difference, base+float64(p.small*1.5), p.small, face, end, ink)
	case c.pitch < float64(p.small*2.8): // no room for two lines
		base = y + float64(c.pitch/2) + float64(p.small*0.36)
		p.words(r.difference, c.difference, base, p.small, face, end, ink)
	default:
		p.words(r.difference, c.difference, base, p.small, face, end, ink)
		p.words(word, c.difference, lower, p.small, regular, end, quiet)
	}
	name := english.Capitalise(r.outcome.Info().Label)
	p.words(name, p.left(), base, c.size, regular, start, ink)
	p.words(r.shoe, c.shoe, base, c.size, regular, end, ink)
	p.words(r.reference, c.reference, base, c.size, regular, end, ink)
	p.say(name + ": " + r.shoe + " against " + r.reference + ", " + r.difference + ", " + word + ".")
}

// sideRow compares a pair in one outcome; false where it was not measured.
func (in *Input) sideRow(e *answer.Effort, pair *answer.Pair, o trial.Outcome) (r sideRow, ok bool) {
	// What the reference ran at.
	mean := in.mean(e.Effort, pair.Reference, o)
	if !units.Known(mean) {
		return r, false
	}
	// The outcome that decides has the answer's interval, every other the comparison's.
	estimate, low, high := units.Missing, units.Missing, units.Missing
	d := pair.D
	switch {
	case o == e.Outcome:
		estimate, low, high = decide.Percent(d.Mean), decide.Percent(d.Low), decide.Percent(d.High)
		if e.Settings.SmallerIsBetter {
			estimate, low, high = -estimate, -high, -low
		}
	case o == trial.PacePerKm && e.Outcome == trial.Speed:
		estimate, low, high = decide.Percent(-d.Mean), decide.Percent(-d.High), decide.Percent(-d.Low)
	default:
		c := in.comparison(e.Effort, pair, o)
		if c == nil {
			return r, false
		}
		estimate, low, high = c.Estimate, c.Low, c.High
	}
	if !units.Known(estimate) {
		return r, false
	}
	// In words; told from noise where the interval leaves out zero.
	r = sideRow{outcome: o, reference: value(o, mean), shoe: value(o, float64(mean*(1+estimate/100))),
		difference: units.FormatSigned(estimate, answer.PercentDecimals) + " %"}
	if r.unbounded = !units.Known(low); !r.unbounded {
		r.difference += " (" + units.FormatSigned(low, answer.PercentDecimals) + " to " +
			units.FormatSigned(high, answer.PercentDecimals) + " %)"
		r.clear = low > 0 || high < 0
	}
	return r, true
}

// comparison is that without assumptions of the pair in an outcome, at the level with most
// blocks, nil for none.
func (in *Input) comparison(effort trial.Effort, pair *answer.Pair, o trial.Outcome) *compare.Comparison {
	var most *compare.Comparison
	for i := range in.Result.Compare.Comparisons {
		c := &in.Result.Compare.Comparisons[i]
		same := c.Shoe == pair.Shoe && c.Reference == pair.Reference
		turned := c.Shoe == pair.Reference && c.Reference == pair.Shoe
		if c.Outcome == o && c.Effort == effort && (same || turned) && units.Known(c.Estimate) &&
			(most == nil || c.Blocks > most.Blocks) {
			most = c
			if turned {
				reversed := c.Reverse()
				most = &reversed
			}
		}
	}
	return most
}

// mean is the mean of a shoe's included blocks at an effort.
func (in *Input) mean(effort trial.Effort, shoe string, o trial.Outcome) float64 {
	sum, n := 0.0, 0.0
	for i := range in.Result.Sessions {
		if in.Result.Dataset.Sessions[i].Effort() != effort {
			continue
		}
		for _, b := range in.Result.Sessions[i].Blocks {
			if x := b.Outcomes[o]; b.Included && b.Shoe == shoe && units.Known(x) {
				sum += x
				n++
			}
		}
	}
	return sum / n
}

// value writes a mean with its unit as people say it.
func value(o trial.Outcome, x float64) string {
	info := o.Info()
	switch o {
	case trial.PacePerKm:
		return units.FormatPace(math.Round(x)) + " /km"
	case trial.Speed, trial.StepLength, trial.Oscillation: // as on the site: some thousandths are seen
		return units.FormatDecimal(x, info.Decimals-1) + " " + info.Unit
	}
	return units.FormatDecimal(x, 0) + " " + info.Unit
}
