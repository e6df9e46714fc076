package trial

// PlanFacts is the content of plan.yaml: what a session was meant to be, written
// before it is run and never changed afterwards.
type PlanFacts struct {
	Shoes   []string  `json:"shoes" jsonschema_description:"Ids of the shoes that are compared, from shoes.csv."`
	Order   []string  `json:"order" jsonschema_description:"The shoe of every block, in the order of the run."`
	Effort  string    `json:"effort" jsonschema:"enum=power,enum=pace,enum=heart_rate" jsonschema_description:"What is to be held."`
	Target  string    `json:"target" jsonschema:"oneof_type=string;number" jsonschema_description:"Watts, beats per minute, or a pace such as 4:30."`
	BlockS  float64   `json:"block_s" jsonschema:"minimum=1" jsonschema_description:"Length of every block, seconds."`
	RestS   float64   `json:"rest_s" jsonschema:"minimum=0" jsonschema_description:"Rest between blocks, seconds."`
	WarmUpS float64   `json:"warm_up_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Warm-up before the first block, seconds."`
	Start   string    `json:"start,omitempty" jsonschema_description:"Time at which the warm-up is to start, HH:MM, by the clock on the wall at the venue; no zone is assumed."`
	Draw    PlanDraw  `json:"draw" jsonschema_description:"How the order was drawn, so that the orders it was drawn from can be listed again."`
	Rules   PlanRules `json:"rules" jsonschema_description:"What was settled in advance about the analysis."`
}

// PlanDraw is how an order was drawn.
type PlanDraw struct {
	Seed       float64  `json:"seed" jsonschema:"minimum=0,maximum=9007199254740991" jsonschema_description:"Seed of the draw (PCG of Go's math/rand/v2)."`
	Place      float64  `json:"place" jsonschema:"minimum=1" jsonschema_description:"Which of the orders was drawn, from 1, in lexicographic order of the shoes as listed."`
	Orders     float64  `json:"orders" jsonschema:"minimum=1" jsonschema_description:"How many orders it was drawn from, each as likely as the other."`
	Considered float64  `json:"considered" jsonschema:"minimum=1" jsonschema_description:"How many orders were scored to find them."`
	Candidates string   `json:"candidates" jsonschema:"enum=all,enum=sampled" jsonschema_description:"Whether those were all orders there are, or a sample drawn by the seed because there are too many."`
	Earlier    []string `json:"earlier,omitempty" jsonschema_description:"The shoes of each session before, parted by blanks; the orders make up for them."`
}

// The values of PlanDraw.Candidates.
const (
	AllOrders     = "all"
	SampledOrders = "sampled"
)

// PlanRules is what a plan settles about the analysis, as the method stood then.
type PlanRules struct {
	Reference     string  `json:"reference,omitempty" jsonschema_description:"Shoe that the others are compared with."`
	Primary       string  `json:"primary,omitempty" jsonschema_description:"Outcome that decides."`
	Trim          Trim    `json:"trim,omitempty" jsonschema_description:"Seconds cut off both ends of every block."`
	PowerExponent float64 `json:"power_exponent,omitempty" jsonschema_description:"k of the equal-effort adjustment."`
	Confidence    float64 `json:"confidence,omitempty" jsonschema:"minimum=0.5,maximum=0.999" jsonschema_description:"Confidence level of the intervals."`
	Drift         string  `json:"drift,omitempty" jsonschema:"enum=linear,enum=none" jsonschema_description:"Whether a straight drift over the session is taken out."`
	WorthwhilePct float64 `json:"worthwhile_pct,omitempty" jsonschema_description:"Smallest difference that would matter, percent."`
}

// RulesOf returns what a plan of a session at the given effort settles under the
// dataset's method.
func (d *Dataset) RulesOf(effort Effort) PlanRules {
	m := d.Facts.Method
	primary := m.Primary
	if primary == "" {
		primary = PrimaryFor(effort).Info().ID
	}
	return PlanRules{d.Reference(), primary, m.Trim, m.PowerExponent, m.Confidence, m.Drift, m.WorthwhilePct}
}
