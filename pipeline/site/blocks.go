package site

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/markup"
	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

type block = derive.Block

// order makes the order strip of a session.
func (s *site) order(session *trial.Session, blocks []block) figure.Order {
	f := figure.Order{Head: figure.Head{ID: "order", Title: "Blocks in the order run", Desc: s.orderWords(blocks)},
		LimitPct: s.ds.Facts.Limits.EffortOffPct}
	for i := range blocks {
		b := &blocks[i]
		f.Blocks = append(f.Blocks, figure.OrderBlock{
			Label: blockLabel(b, s.label(b.Shoe)), Shoe: s.place(b.Shoe), Start: b.Start, End: b.End, From: b.From,
			To:     b.To,
			OffPct: offTarget(b), Excluded: !b.Included,
		})
	}
	return f
}

// offTarget is how far what a block held was off its target, percent.
func offTarget(b *block) float64 { return 100 * (b.MeanEffort/b.Target - 1) }

func (s *site) orderWords(blocks []block) string {
	var lines []string
	for i := range blocks {
		lines = append(lines, blockLabel(&blocks[i], s.label(blocks[i].Shoe)))
	}
	return strings.Join(lines, "; ") + "."
}

// precision is that of the means of one block.
type precision = [trial.OutcomeCount]steady.Precision

// blockTable lists the blocks with what was held and how fast they were, each mean
// with its measurement error.
func (s *site) blockTable(session *trial.Session, blocks []block, precisions []precision) table {
	t := table{Cards: true, Dense: true, Caption: "The blocks: means over the steady window",
		Head: columns("Block", "Shoe", "Included")}
	for i := range blocks {
		b := &blocks[i]
		t.Rows = append(t.Rows, []cell{text(b.Block), shoeCell(s.shoe(b.Shoe, "../")), text(inclusion(b))})
	}
	t.addMeans(blocks, precisions, 0, trial.Cadence)
	for i := range t.Head {
		if t.Head[i].Text == heading(heldOutcome[session.Effort()]) {
			t.Head[i].Text = "effort: " + t.Head[i].Text
		}
	}
	return t
}

// windowTable says how each block was cut, and what its means rest on.
func (s *site) windowTable(session *trial.Session, blocks []block, precisions []precision) table {
	t := table{Cards: true, Dense: true, Caption: "The blocks: time, window and samples",
		Head: columns("Block", "Shoe", "#Start, min:s", "#End, min:s", "#Steady window, s",
			"#Effort off target, %", "#Coverage, %")}
	for i := range blocks {
		b := &blocks[i]
		t.Rows = append(t.Rows, []cell{
			text(b.Block), shoeCell(s.shoe(b.Shoe, "../")), numeric(units.FormatClock(b.Start)),
			numeric(units.FormatClock(b.End)),
			numeric(figure.Plain(b.Window(), 0)), numeric(figure.Signed(offTarget(b), 1)),
			numeric(figure.Plain(b.CoveragePct, 0)),
		})
	}
	t.addIndependent(precisions, compare.Primary(s.ds.Facts.Method, session.Effort()))
	return t
}

// addIndependent adds how many independent samples an outcome's mean is worth, where
// that is known of any block.
func (t *table) addIndependent(precisions []precision, o trial.Outcome) {
	if !slices.ContainsFunc(precisions, func(p precision) bool { return units.Known(p[o].Independent) }) {
		return
	}
	t.Head = append(t.Head, column{Text: "Independent samples of " + o.Info().Label, Number: true})
	for i := range t.Rows {
		t.Rows[i] = append(t.Rows[i], numeric(independent(&precisions[i][o])))
	}
}

// heldOutcome is the outcome that an effort holds.
var heldOutcome = map[trial.Effort]trial.Outcome{trial.Power: trial.MeanPower, trial.Pace: trial.PacePerKm,
	trial.HeartRate: trial.Heart}

// independent says how many independent samples the samples of a window are worth.
func independent(p *steady.Precision) string {
	if !units.Known(p.Independent) {
		return ""
	}
	return figure.Plain(p.Independent, 0) + " of " + strconv.Itoa(p.Samples)
}

// errorOf writes the measurement error of a block mean, "" where none is known. The
// error of a pace is that of the speed it comes from.
func errorOf(o trial.Outcome, b *block, precisions *precision) string {
	spread, decimals, unit := precisions[o].Error, max(0, o.Info().Decimals-1), ""
	if o == trial.PacePerKm {
		spread, decimals, unit = b.Outcomes[o]*precisions[trial.Speed].Error/b.Outcomes[trial.Speed], 1, " s"
	}
	if !units.Known(spread) {
		return ""
	}
	text := figure.Plain(spread, decimals)
	if spread > 0 && strings.Trim(text, "0.") == "" {
		text = figure.Plain(spread, decimals+1)
	}
	return "\u00a0±\u00a0" + text + unit
}

// strideTable lists the outcomes that describe how the runner ran and felt; it
// has no rows when none was measured.
func (s *site) strideTable(blocks []block, precisions []precision) table {
	t := table{Cards: true, Dense: true, Caption: "The blocks: stride, oxygen and feel",
		Head: columns("Block", "Shoe")}
	if len(measuredIn(blocks, trial.Cadence, trial.OutcomeCount)) == 0 {
		return t
	}
	for i := range blocks {
		t.Rows = append(t.Rows, []cell{text(blocks[i].Block), shoeCell(s.shoe(blocks[i].Shoe, "../"))})
	}
	t.addMeans(blocks, precisions, trial.Cadence, trial.OutcomeCount)
	return t
}

// addMeans adds a column for each outcome of [from, to) that was measured in any
// block. Row i belongs to block i.
func (t *table) addMeans(blocks []block, precisions []precision, from, to trial.Outcome) {
	for _, o := range measuredIn(blocks, from, to) {
		t.Head = append(t.Head, column{Text: heading(o), Number: true})
		for i := range blocks {
			t.Rows[i] = append(t.Rows[i], numeric(mean(o, blocks[i].Outcomes[o])+
				errorOf(o, &blocks[i], &precisions[i])))
		}
	}
}

func inclusion(b *block) string {
	switch {
	case b.Included && b.Reason == "":
		return "yes"
	case b.Included:
		return "yes, although: " + b.Reason
	}
	return "no: " + cmp.Or(b.Reason, "no reason given")
}

func measuredIn(blocks []block, from, to trial.Outcome) []trial.Outcome {
	var measured []trial.Outcome
	for o := from; o < to; o++ {
		for i := range blocks {
			if units.Known(blocks[i].Outcomes[o]) {
				measured = append(measured, o)
				break
			}
		}
	}
	return measured
}

// traced lists the channels that a session page shows.
var traced = []trial.Channel{trial.PowerW, trial.SpeedMps, trial.HeartRateBpm, trial.CadenceSpm, trial.StepLengthM,
	trial.ContactMs, trial.OscillationCm}

// readRecordings reads the recordings of a session; what cannot be read is said on its
// page.
func (s *site) readRecordings(session *trial.Session, body *sessionBody) []trial.Recording {
	if s.in.Recordings == nil || len(session.Facts.Recordings) == 0 {
		return nil
	}
	recordings, problems := s.in.Recordings(session)
	for _, p := range problems {
		body.Problems = append(body.Problems, p.Error())
	}
	return recordings
}

// traces adds a panel for each channel the session's recordings have.
func (s *site) traces(session *trial.Session, recordings []trial.Recording, blocks []block, body *sessionBody) {
	body.TraceNote = "No recording: the block means were typed in."
	if s.in.Recordings == nil || len(session.Facts.Recordings) == 0 {
		return
	}
	body.TraceNote = "The recordings have no channel to draw."
	for c, source := range steady.Sources(s.ds.Facts.Method, recordings) {
		if channel := trial.Channel(c); source != nil && isTraced(channel) {
			body.Traces = append(body.Traces, s.panel(channel, source, blocks))
		}
	}
	if len(body.Traces) > 0 {
		body.TraceNote = s.traceNote(blocks)
	}
}

// traceNote says how to read the figures of the traces.
func (s *site) traceNote(blocks []block) string {
	note := "One line for each block, from its start, each point the mean of " + minutes(smoothS) +
		". Shaded: the steady window."
	if s.byShoe(blocks) {
		note += " Every figure has one panel for each shoe, all on the same scale."
	}
	if slices.ContainsFunc(blocks, func(b block) bool { return !b.Included }) {
		note += " Thin lines are excluded blocks."
	}
	return note
}

func isTraced(c trial.Channel) bool {
	for _, t := range traced {
		if t == c {
			return true
		}
	}
	return false
}

// panel draws one channel of all blocks.
func (s *site) panel(c trial.Channel, source *trial.Recording, blocks []block) markup.HTML {
	info := c.Info()
	f := figure.Trace{
		Head: figure.Head{ID: "trace-" + strings.ReplaceAll(info.Column, "_", "-"),
			Title: english.Capitalise(info.Label) +
				" by block", Desc: "Lines of " + info.Label + " in " + info.Unit +
				" from block start, one for each of " +
				strconv.Itoa(len(blocks)) + " blocks. Their means are in the table of blocks."},
		Axis: info.Label + ", " + info.Unit, From: units.Missing, To: units.Missing,
	}
	// A line for each block that was run, and the window that all included blocks have in common.
	for i := range blocks {
		b := &blocks[i]
		if !(b.End > b.Start) {
			continue
		}
		f.Span = math.Max(f.Span, b.End-b.Start)
		from, to := b.From, b.To
		if c == trial.HeartRateBpm {
			from, to = b.HeartFrom, b.HeartTo
		}
		if b.Included {
			f.From, f.To = narrowBound(f.From, from-b.Start, 1), narrowBound(f.To, to-b.Start, -1)
		}
		f.Lines = append(f.Lines, s.traceLine(c, source, b))
	}
	if s.byShoe(blocks) {
		return inline(figure.Multiples{Trace: f, Labels: s.labelsOf(blocks)})
	}
	return inline(f)
}

// fewLines is how many blocks are drawn over each other; more are drawn shoe by shoe.
const fewLines = 5

// byShoe reports whether a session's blocks are drawn with a panel for each shoe.
func (s *site) byShoe(blocks []block) bool {
	return len(blocks) > fewLines && len(s.labelsOf(blocks)) > 1
}

// labelsOf names the shoes of some blocks by their places in the register.
func (s *site) labelsOf(blocks []block) map[int]string {
	labels := map[int]string{}
	for i := range blocks {
		labels[s.place(blocks[i].Shoe)] = cmp.Or(s.label(blocks[i].Shoe), "no shoe named")
	}
	return labels
}

// narrowBound narrows a bound of the steady window to what all included blocks share.
func narrowBound(bound, next, side float64) float64 {
	if units.Known(bound) && side*bound > side*next {
		return bound
	}
	return next
}

// traceLine cuts the samples of one block out of a recording.
func (s *site) traceLine(c trial.Channel, source *trial.Recording, b *block) figure.TraceLine {
	room := min(len(source.Samples.Elapsed), int(b.End-b.Start)+2) // of a sample each second
	line := figure.TraceLine{Shoe: s.place(b.Shoe), Gap: s.ds.Facts.Limits.GapS, Excluded: !b.Included,
		Seconds: make([]float64, 0, room), Values: make([]float64, 0, room)}
	shift := source.Offset() - b.Start
	for i, elapsed := range source.Samples.Elapsed {
		if t := elapsed + shift; t >= 0 && t <= b.End-b.Start {
			line.Seconds = append(line.Seconds, t)
			line.Values = append(line.Values, source.Samples.Values[c][i])
		}
	}
	return line.Smooth(smoothS).Every(smoothS / 5)
}

// smoothS is over how many seconds a trace is smoothed on a page.
const smoothS = 15
