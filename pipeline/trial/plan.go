package trial

// PlanFacts is the content of plan.yaml: what a session was meant to be, written
// before it is run and never changed afterwards.
type PlanFacts struct {
	Shoes   []string  `json:"shoes"`
	Order   []string  `json:"order"`
	Effort  string    `json:"effort" jsonschema:"enum=power,enum=pace,enum=heart_rate"`
	Target  string    `json:"target" jsonschema:"oneof_type=string;number"`
	BlockS  float64   `json:"block_s" jsonschema:"minimum=1"`
	RestS   float64   `json:"rest_s" jsonschema:"minimum=0"`
	WarmUpS float64   `json:"warm_up_s,omitempty" jsonschema:"minimum=0"`
	Start   string    `json:"start,omitempty"`
	Draw    PlanDraw  `json:"draw"`
	Rules   PlanRules `json:"rules"`
	Aim     PlanAim   `json:"aim,omitempty"`
}

// PlanAim is when to stop, decided before the run: at a width of the interval, or after a
// number of sessions. Missing where nothing was decided.
type PlanAim struct {
	WidthPct float64 `json:"width_pct,omitempty" jsonschema:"minimum=0.1,maximum=20"`
	Sessions float64 `json:"sessions,omitempty" jsonschema:"minimum=1,maximum=1000"`
}

// PlanDraw is how an order was drawn.
type PlanDraw struct {
	Seed       float64  `json:"seed" jsonschema:"minimum=0,maximum=9007199254740991"`
	Place      float64  `json:"place" jsonschema:"minimum=1"`
	Orders     float64  `json:"orders" jsonschema:"minimum=1"`
	Considered float64  `json:"considered" jsonschema:"minimum=1"`
	Candidates string   `json:"candidates" jsonschema:"enum=all,enum=sampled,enum=all-even,enum=sampled-even,enum=all-balanced,enum=sampled-balanced"`
	Earlier    []string `json:"earlier,omitempty"`
}

// The values of PlanDraw.Candidates. Balanced: the orders with the closest mean places of
// the shoes went first. Even, earlier plans: those with the least variance went first.
// Neither, the first plans: mean places did not count.
const (
	AllOrders             = "all"
	SampledOrders         = "sampled"
	AllEvenOrders         = "all-even"
	SampledEvenOrders     = "sampled-even"
	AllBalancedOrders     = "all-balanced"
	SampledBalancedOrders = "sampled-balanced"
)

// PlanRules is what a plan fixes about the analysis, as the method stood then.
type PlanRules struct {
	Reference     string  `json:"reference,omitempty"`
	Primary       string  `json:"primary,omitempty"`
	Trim          Trim    `json:"trim,omitempty"`
	PowerExponent float64 `json:"power_exponent,omitempty"`
	Confidence    float64 `json:"confidence,omitempty" jsonschema:"minimum=0.5,maximum=0.999"`
	Drift         string  `json:"drift,omitempty" jsonschema:"enum=linear,enum=none"`
	WorthwhilePct float64 `json:"worthwhile_pct,omitempty"`
}

// RulesOf returns what a plan of a session at the given effort fixes under the
// dataset's method.
func (d *Dataset) RulesOf(effort Effort) PlanRules {
	m := d.Facts.Method
	primary := m.Primary
	if primary == "" {
		primary = PrimaryFor(effort).Info().ID
	}
	return PlanRules{d.Reference(), primary, m.Trim, m.PowerExponent, m.Confidence, m.Drift, m.WorthwhilePct}
}
