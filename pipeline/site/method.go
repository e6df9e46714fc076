package site

import (
	"strings"

	"soletrial/pipeline/compare"
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
	Curves     []forecast.Curve
	Rules      []ruleBody
	Reporting  table
}

type ruleBody struct {
	quality.Rule
	Anchor, Gives string
}

func (s *site) method() error {
	m := s.ds.Facts.Method
	body := methodBody{
		Method: m, Head: figure.Plain(m.Trim.HeadS, 0), Tail: figure.Plain(m.Trim.TailS,
			0), HeartHead: figure.Plain(m.Trim.HeartRateHeadS, 0),
		Confidence: percentOf(m.Confidence), Exponent: strings.TrimSpace(quantity(m.PowerExponent, 3, "")),
		Worthwhile: quantity(m.WorthwhilePct, 2, "%"),
		PerGrams:   quantity(m.WeightPctPer100g, 2, "%"), Drift: m.Drift != trial.DriftNone, Curves: forecast.Curves,
		Outcomes: outcomeTable(),
	}
	body.Settings, body.Reporting = s.settingsTable(), s.reporting()
	for _, rule := range quality.Rules() {
		body.Rules = append(body.Rules, ruleBody{Rule: rule, Anchor: ruleAnchor(rule.Slug),
			Gives: severityList(rule.Severities)})
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
		{text("Cut off at the start of a block"), text(quantity(m.Trim.HeadS, 1, "s") + "; for heart rate " +
			quantity(m.Trim.HeartRateHeadS, 1, "s"))},
		{text("Cut off at the end of a block"), text(quantity(m.Trim.TailS, 1, "s"))},
		{text("Exponent of the equal-effort adjustment"), text(strings.TrimSpace(quantity(m.PowerExponent, 3, "")))},
		{text("Drift over the session taken out"), text(m.Drift)},
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

// grades explains the words for evidence, from least to most.
func (methodBody) Grades() []fact {
	return []fact{
		{string(compare.NoEvidence), "no interval can be given: nothing was repeated"},
		{string(compare.Thin), "one session, or an interval too wide to decide anything"},
		{string(compare.Fair), "several sessions with intervals, but a safeguard is missing"},
		{string(compare.Solid), "repeated, balanced, checked, and precise enough to decide"},
	}
}
