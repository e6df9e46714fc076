package site

import (
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// decisionBody prints the model that decides, so that one pair can be recomputed from the page.
type decisionBody struct {
	Priors    table
	Exponents table
	Statuses  []factLine
	Evidence  table
	Example   *exampleBody
}

// exampleBody is all that the answer for one pair rests on.
type exampleBody struct {
	Title, Said string
	More        string // blocks that are not printed
	Blocks      table
	Shoes       table
	Result      table
}

func (s *site) decision() decisionBody {
	m := s.ds.Facts.Method
	body := decisionBody{Priors: priorTable(m), Exponents: exponentTable(m), Statuses: statuses(m),
		Evidence: evidenceTable(m)}
	if e, g := s.speaker.Answers.Top(); g != nil {
		body.Example = s.example(e, g)
	}
	return body
}

// percent writes a setting in percent.
func percent(x float64) string { return strings.TrimSpace(quantity(x, 4, "")) + "\u00a0%" }

// priorTable lists what is assumed of such trials in general, with the reasons.
func priorTable(m trial.Method) table {
	p := m.Prior
	row := func(what, symbol, speed, heart, reason string) []cell {
		return []cell{text(what), text(symbol), text(speed), text(heart), text(reason)}
	}
	return table{Cards: true, Caption: "What is assumed before a block is run",
		Head: columns("What", "Prior", "Speed", "Heart rate", "Why"),
		Rows: [][]cell{
			row("How blocks of one shoe differ within a session, σ",
				"σ² scaled inverse chi-squared, "+strings.TrimSpace(quantity(p.BlockDF, 2, ""))+
					" degrees of freedom",
				percent(p.BlockPct.Speed), percent(p.BlockPct.HeartRate),
				"steady blocks differ by 0.5 to 1.5 %; a handful of blocks overrules it"),
			row("How the effect of a shoe differs from day to day, τ", "half-normal", percent(p.DayPct.Speed),
				percent(p.DayPct.HeartRate), "so that one day has the uncertainty that days usually have"),
			row("How the effect of a shoe differs between runners, ω", "half-normal, only with two runners or more",
				percent(p.RunnerPct), percent(p.RunnerPct), "runners respond differently to shoes"),
			row("Drift per hour, γ", "normal around 0", percent(p.DriftPctPerH.Speed),
				percent(p.DriftPctPerH.HeartRate),
				"tiring and warming up; the second number where heart rate is held or compared"),
			row("The sensor's own error in a shoe, s", "normal around 0", percent(m.SensorByShoePct), "0 %",
				"a sensor on the shoe moves with it; no number of sessions averages that out"),
		}}
}

// exponentTable lists the exponents of equal effort.
func exponentTable(m trial.Method) table {
	t := table{Cards: true, Caption: "How far an outcome follows 1 % more effort: exponent k, normal",
		Head: columns("Effort", "Compared", "Mean", "Standard deviation", "Why")}
	for _, of := range []struct {
		held     trial.Effort
		compared trial.Outcome
		why      string
	}{
		{trial.Power, trial.Speed, "published curves of cost against speed give 0.69 to 1.07"},
		{trial.Pace, trial.Heart, "an engineering choice"}, {trial.HeartRate, trial.Speed, "an engineering choice"},
		{trial.Power, trial.Heart, "an engineering choice"},
	} {
		k, _ := m.EqualEffort(of.held, of.compared)
		t.Rows = append(t.Rows, []cell{text(of.held.Name()),
			text(of.compared.Info().Label), text(figure.Plain(k.Mean, 3)), text(figure.Plain(k.SD, 3)), text(of.why)})
	}
	return t
}

// statuses explains what an answer can be.
func statuses(m trial.Method) []factLine {
	worthwhile := percent(m.WorthwhilePct)
	name := func(s decide.Status) string { return english.Capitalise(statusWords[s]) }
	return withValues(
		fact{name(decide.Same), "the leader and every other leading shoe are no more than " + worthwhile +
			" apart, with a chance of 90 %", ""},
		fact{name(decide.Fastest), "one shoe is the best with a chance of 97.5 % or more", ""},
		fact{name(decide.Leading), "some of the shoes, but not all, together have a chance of 97.5 % or more", ""},
		fact{name(decide.Open), "only all of them together reach that chance", ""},
		fact{name(decide.Blocked), "fastest or practically the same, but correcting a measured error of a sensor " +
			"would change it", ""},
	)
}

// evidenceTable lists the thresholds of the evidence.
func evidenceTable(m trial.Method) table {
	row := func(grade decide.Evidence, needs string) []cell { return []cell{text(string(grade)), text(needs)} }
	return table{Caption: "What each grade of evidence asks for", Head: columns("Evidence", "Asks for"), Rows: [][]cell{
		row(decide.NoEvidence, "nothing: no pair met in two sessions and nothing was repeated"),
		row(decide.Thin, "a shoe run twice in a session, or two sessions"),
		row(decide.Fair, "two sessions with both shoes, and 4 blocks of each. "+
			"The shoes spread evenly over the session in more than half of the sessions. At the same power also a "+
			"chance of 90 % that heart rate explains less than half of the result, or agreement at another "+
			"effort"),
		row(decide.Solid, "four sessions, and 12 blocks of each. Planned orders followed in three quarters, "+
			"and distance on the ground in both shoes. The same leader in 90 % of the analyses. An interval of ± "+
			percent(m.WorthwhilePct)+" or less, or one that lies beyond it"),
	}}
}

// maxExample is how many blocks are printed at most.
const maxExample = 200

// example prints what the leading pair's answer rests on.
func (s *site) example(e *answer.Effort, g *answer.Group) *exampleBody {
	p := g.Lead
	body := &exampleBody{Title: s.speaker.Label(p.Shoe) + " against " + s.speaker.Label(p.Reference),
		Said: nonBreaking(s.speaker.PairSentence(e, p)),
		Blocks: table{Caption: "The blocks, as the model takes them. y = ln(outcome) and x = ln(held/target), both " +
			"corrected by the ground; t in hours from the start of the session",
			Head: columns("Session and target", "Shoe", "y", "x", "t")},
		Shoes: table{Caption: "The sensor's error that remains in each shoe, s",
			Head: columns("Shoe", "s")},
		Result: table{Caption: "The answer for this pair, on the scale of logarithms",
			Head: columns("Mean", "Standard deviation", "2.5 %", "97.5 %", "Chance above 0")},
	}
	// What goes into the model, and what comes out: enough to work it out again by hand.
	blocks := e.ModelBlocks()
	if len(blocks) > maxExample {
		body.More = units.Count(len(blocks)-maxExample, "more block") + " in the same way from derived/blocks.csv."
		blocks = blocks[:maxExample]
	}
	for _, b := range blocks {
		body.Blocks.Rows = append(body.Blocks.Rows, []cell{text(b.Session + " " + b.Level), text(b.Shoe),
			text(units.FormatDecimal(b.Y, 6)), text(units.FormatDecimal(b.X, 6)),
			text(units.FormatDecimal(b.TimeH, 4))})
	}
	for j, shoe := range e.Posterior.Shoes {
		sd := 0.0
		if e.Sensor.SD != nil {
			sd = e.Sensor.SD[j]
		}
		body.Shoes.Rows = append(body.Shoes.Rows, []cell{text(shoe), text(units.FormatDecimal(sd, 6))})
	}
	d := p.D
	body.Result.Rows = [][]cell{{text(units.FormatDecimal(d.Mean, 6)), text(units.FormatDecimal(d.SD, 6)),
		text(units.FormatDecimal(d.Low, 6)), text(units.FormatDecimal(d.High, 6)),
		text(units.FormatDecimal(d.Above, 4))}}
	return body
}
