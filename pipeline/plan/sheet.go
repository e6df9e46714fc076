package plan

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Sheet is what to take to the track: everything that is known, and room for what
// is not. It is printed by [Sheet.Text] and [Sheet.HTML].
type Sheet struct {
	Title  string
	Facts  []string // who, where, what is held, for how long
	Blocks []SheetBlock
	Shoes  []string // labels, each once
	Sensor string
	Held   string // heads the column of means: a unit, or what is held
	Track  string // address of the track page with this plan, "" where the site has none
}

// SheetBlock is one line of the order.
type SheetBlock struct {
	Number, Shoe string
	From, To     string // clock times, or time since the start of the warm-up
}

// Conditions are what to write down about the day, with their units.
var Conditions = []string{"air °C", "humidity %", "pressure hPa", "wind m/s", "sky", "surface", "heat (WBGT) °C"}

// columns are what to write down about each block.
func (s *Sheet) columns() []string {
	return []string{"sensor on", "laps or m", "mean " + s.Held, "exertion, 0\u00a0to\u00a010",
		"comfort, 0\u00a0to\u00a0100\u00a0mm", "note"}
}

// heldWords name what an effort holds.
var heldWords = map[trial.Effort]string{trial.Power: "W", trial.Pace: "pace", trial.HeartRate: "bpm"}

// Before is what to do before the first block.
var Before = []string{
	"Weigh both shoes of every pair as worn, insole and laces in; write both numbers down.",
	"Put the same sensor on the same foot of every shoe, at the same place on the laces, and check that it is tight.",
	"Start the recording before the warm-up, and press the lap button at the start and the end of every block.",
	"Measure air, wind and heat at the track itself, at the start and at the end.",
}

// After is what to do when it is over.
var After = []string{
	"Write what was not as planned into session.yaml, under deviations, and why.",
	"Do not change plan.yaml: its value is that it came before the run.",
}

// cautions stand on every sheet. They are general, and not medical advice.
var cautions = []string{
	"This is a plan, not a clearance, and not medical advice. Local rules, event medics and licensed clinicians come " +
		"before it.",
	"Blocks near threshold are hard exercise. Ask a licensed clinician first if you have been inactive, are unwell " +
		"or pregnant, or have a heart, metabolic or kidney condition. Ask too if you have had chest pain, fainting, " +
		"palpitations or unusual breathlessness.",
	"Stop at once at chest pain, dizziness, confusion, loss of coordination or sudden pain in a limb. Suspected heat " +
		"stroke: call the emergency number and cool the runner straight away.",
	"In heat, lightning, smoke or ice put the session off. Never run all-out alone. Get used to a very different " +
		"shoe on easy runs before a hard block in it.",
}

// NewSheet fills in a sheet for a planned session.
func NewSheet(ds *trial.Dataset, s *trial.Session) Sheet {
	p := s.Plan
	label := func(id string) string {
		if shoe := ds.Shoe(id); shoe != nil && shoe.Label != "" {
			return shoe.Label
		}
		return id
	}
	sheet := Sheet{Title: "Field sheet: " + cmp.Or(english.Date(s.Facts.Date), s.ID), Sensor: s.Facts.Protocol.Sensor,
		Held: heldWords[trial.Effort(p.Effort)], Track: trackAddress(ds, s.ID)}
	sheet.Facts = append(sheet.Facts, place(ds, s), effortRange(ds, p), durations(p))
	for _, id := range p.Shoes {
		sheet.Shoes = append(sheet.Shoes, label(id))
	}
	// The day on the clock: warm-up, then block and rest in turn.
	clock := newClock(p)
	at := 0.0
	if p.WarmUpS > 0 {
		sheet.Blocks = append(sheet.Blocks, SheetBlock{"", "warm-up", clock.text(0), clock.text(p.WarmUpS)})
		at = p.WarmUpS
	}
	for i, id := range p.Order {
		sheet.Blocks = append(sheet.Blocks, SheetBlock{fmt.Sprint(i + 1), label(id), clock.text(at),
			clock.text(at + p.BlockS)})
		at += p.BlockS + p.RestS
	}
	return sheet
}

// CountLaps says on the sheet why every lap counts, where the sensor's own error keeps shoes
// from ever being shown to be practically the same.
func (s *Sheet) CountLaps() {
	s.Facts = append(s.Facts, "Count the laps (or measure the metres) of every block. Without them the sensor's "+
		"own error remains, and no number of sessions can show two shoes to be practically the same")
}

func place(ds *trial.Dataset, s *trial.Session) string {
	parts := []string{"Session " + s.ID}
	if r := ds.Runner(s.Facts.Runner); r != nil {
		parts = append(parts, r.Label)
	}
	if v := ds.Venue(s.Facts.Venue); v != nil {
		text := v.Label
		if v.LapM > 0 {
			text += fmt.Sprintf(" (lap %s m in lane 1)", withoutZeros(v.LapM))
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// effortRange says the target and the band around it beyond which a block is remarked on.
func effortRange(ds *trial.Dataset, p *trial.PlanFacts) string {
	effort := trial.Effort(p.Effort)
	target, err := trial.ParseTarget(effort, p.Target)
	if err != nil || !units.Known(target) {
		return "Hold " + strings.ReplaceAll(p.Effort, "_", " ") + " even"
	}
	share := ds.Facts.Limits.EffortOffPct / 100
	low, high := float64(target*(1-share)), float64(target*(1+share))
	switch effort {
	case trial.Pace:
		return fmt.Sprintf("Hold %s per km (%s to %s)", p.Target, units.FormatPace(low), units.FormatPace(high))
	case trial.HeartRate:
		return fmt.Sprintf("Hold %s bpm (%s to %s)", p.Target, units.FormatDecimal(low, 0),
			units.FormatDecimal(high, 0))
	}
	return fmt.Sprintf("Hold %s W (%s to %s)", p.Target, units.FormatDecimal(low, 0), units.FormatDecimal(high, 0))
}

func durations(p *trial.PlanFacts) string {
	times := "times count from the start"
	if c := newClock(p); c.day {
		times = "times by the clock at the venue"
	} else if !c.seconds {
		times += ", in hours and minutes"
	}
	text := fmt.Sprintf("%d blocks of %s with %s of rest between; %s", len(p.Order), minutes(p.BlockS),
		minutes(p.RestS), times)
	if p.WarmUpS > 0 {
		text = "Warm-up of " + minutes(p.WarmUpS) + ", then " + text
	}
	return text
}

// minutes writes seconds as "6 min", "6 min 30 s" or "45 s".
func minutes(seconds float64) string {
	whole := int(units.Round(seconds, 0))
	text := fmt.Sprintf("%d min %d s", whole/60, whole%60)
	return strings.TrimSuffix(strings.TrimPrefix(text, "0 min "), " 0 s")
}

// clock tells times of the day from a start, or times since it.
type clock struct {
	start   float64
	day     bool
	seconds bool // whether any time of the plan has seconds: then all are written with them
}

func newClock(p *trial.PlanFacts) clock {
	c := clock{}
	for _, span := range []float64{p.BlockS, p.RestS, p.WarmUpS} {
		c.seconds = c.seconds || units.Known(span) && math.Mod(units.Round(span, 0), 60) != 0
	}
	hours, minutes, found := strings.Cut(p.Start, ":")
	if !found || len(minutes) < 2 {
		return c
	}
	h, errH := units.ParseDecimal(hours)
	m, errM := units.ParseDecimal(minutes[:2])
	c.start, c.day = float64(h*3600)+float64(m*60), errH == nil && errM == nil
	return c
}

// text is h:mm, with seconds where any time of the plan has them.
func (c clock) text(at float64) string {
	whole := int(units.Round(c.start+at, 0))
	if c.day {
		whole %= 24 * 3600
	}
	text := fmt.Sprintf("%d:%02d", whole/3600, whole/60%60)
	if c.day {
		text = fmt.Sprintf("%02d:%02d", whole/3600, whole/60%60)
	}
	if c.seconds {
		text += fmt.Sprintf(":%02d", whole%60)
	}
	return text
}

// withoutZeros writes a number without the zeros at its end; "" when it is missing.
func withoutZeros(x float64) string { return trial.FormatTarget(trial.Power, x) }
