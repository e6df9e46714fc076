package site

import (
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/quality"
	"soletrial/pipeline/trial"
)

type methodBody struct {
	Settings   table
	Method     trial.Method
	Head, Tail string // of the trim, seconds
	HeartHead  string
	Confidence string
	Exponent   string
	Worthwhile string
	PerGrams   string
	Drift      bool
	Outcomes   table
	Curves     []curveBody
	Sensor     string
	Rules      []ruleBody
	Reporting  table
	Decision   decisionBody
}

type ruleBody struct {
	quality.Rule
	Anchor, Gives string
	Source        string
	Unread        bool // the source could not be read again
}

type curveBody struct {
	forecast.Curve
	Source string
	Unread bool
}

// unread takes the words for a source that could not be read again out of its text; the page
// has a mark for it.
func unread(source string) (text string, unread bool) {
	for _, words := range []string{" (coefficients from memory; they reproduce the paper's worked example)",
		", from memory", " from memory"} {
		if before, after, found := strings.Cut(source, words); found {
			return before + after, true
		}
	}
	return source, false
}

func (s *site) method() error {
	m := s.ds.Facts.Method
	body := methodBody{
		Method: m, Head: figure.Plain(m.Trim.HeadS, 0), Tail: figure.Plain(m.Trim.TailS,
			0), HeartHead: figure.Plain(m.Trim.HeartRateHeadS, 0),
		Confidence: percentOf(m.Confidence), Exponent: fixedExponent(m),
		Worthwhile: quantity(m.WorthwhilePct, 2, "%"),
		PerGrams:   quantity(m.WeightPctPer100g, 2, "%"), Drift: m.Drift != trial.DriftNone,
		Sensor:   percent(m.SensorByShoePct),
		Outcomes: outcomeTable(),
	}
	body.Settings, body.Reporting, body.Decision = s.settingsTable(), s.reporting(), s.decision()
	for _, rule := range quality.Rules() {
		source, unread := unread(rule.Source)
		body.Rules = append(body.Rules, ruleBody{Rule: rule, Anchor: ruleAnchor(rule.Slug),
			Gives: severityList(rule.Severities), Source: source, Unread: unread})
	}
	for _, curve := range forecast.Curves {
		source, unread := unread(curve.Source)
		body.Curves = append(body.Curves, curveBody{curve, source, unread})
	}
	return s.page("method.html", "method", "Method", body)
}

func severityList(severities []trial.Severity) string {
	var words []string
	for _, severity := range severities {
		words = append(words, severityWords[severity])
	}
	return strings.Join(words, " or ")
}

// settingsTable lists what this dataset chose.
func (s *site) settingsTable() table {
	m := s.ds.Facts.Method
	primary := m.Primary
	if o, known := trial.OutcomeNamed(primary); known {
		primary = o.Info().Label
	} else {
		primary = "by effort"
	}
	return table{Caption: "What this dataset chose", Head: columns("Setting", "Choice"), Rows: [][]cell{
		{text("Reference shoe"), text(s.label(s.ds.Reference()))},
		{text("Outcome that decides"), text(primary)},
		{text("Trimmed at the start of a block"), text(quantity(m.Trim.HeadS, 1, "s") + "; for heart rate " +
			quantity(m.Trim.HeartRateHeadS, 1, "s"))},
		{text("Trimmed at the end of a block"), text(quantity(m.Trim.TailS, 1, "s"))},
		{text("Exponent of equal effort without assumptions"), text(fixedExponent(m))},
		{text("Drift over the session"), text(m.Drift)},
		{text("Confidence of the intervals"), text(percentOf(m.Confidence) + " %")},
		{text("Smallest difference that would matter"), text(quantity(m.WorthwhilePct, 2, "%"))},
		{text("Energy cost of 100 g more on each shoe"), text(quantity(m.WeightPctPer100g, 2, "%"))},
	}}
}

// outcomeTable lists the outcomes and how each is compared.
func outcomeTable() table {
	t := table{Caption: "The outcomes", Head: columns("Outcome", "Unit", "Compared as", "Better")}
	for o := range trial.OutcomeCount {
		info := o.Info()
		scale := "percent, from natural logarithms"
		if !info.Ratio {
			scale = "difference in " + info.Unit
		}
		better := map[int]string{1: "more", -1: "less"}[info.Better]
		if better == "" {
			better = "neither; it describes"
		}
		t.Rows = append(t.Rows, []cell{text(info.Label), text(info.Unit), text(scale), text(better)})
	}
	return t
}

// fixedExponent is the exponent of power held and speed compared in the analysis without
// assumptions.
func fixedExponent(m trial.Method) string {
	k, _ := m.EqualEffort(trial.Power, trial.Speed)
	return strings.TrimSpace(quantity(k.Mean, 3, ""))
}
