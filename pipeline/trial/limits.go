package trial

// Limits are the limits of the quality rules. Every field has a default, see
// [DefaultLimits].
type Limits struct {
	GapS               float64          `json:"gap_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Longest time between two samples that is not a gap, seconds. Default 5."`
	CoveragePct        float64          `json:"coverage_pct,omitempty" jsonschema:"minimum=0,maximum=100" jsonschema_description:"Least share of the steady window with valid samples, percent. Default 90."`
	CoverageStopPct    float64          `json:"coverage_stop_pct,omitempty" jsonschema:"minimum=0,maximum=100" jsonschema_description:"Below this share the block is kept out. Default 50."`
	BlockMinS          float64          `json:"block_min_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Shortest block worth its warm-in, seconds. Default 180."`
	WindowMinS         float64          `json:"window_min_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Shortest steady window, seconds; below it the block is kept out. Default 60."`
	EffortOffPct       float64          `json:"effort_off_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Held effort may differ from its target by this much, percent. Default 3."`
	EffortOffStopPct   float64          `json:"effort_off_stop_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Beyond this the block is kept out, percent. Default 15."`
	StepProductPct     float64          `json:"step_product_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Cadence times step length may differ from speed by this much, percent. Default 2; rounding explains 0.7."`
	StepProductStopPct float64          `json:"step_product_stop_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Beyond this the block is kept out, percent. Default 10."`
	OrderCorrelation   float64          `json:"order_correlation,omitempty" jsonschema:"minimum=0,maximum=1" jsonschema_description:"Correlation between a shoe and the clock beyond which the order is confounded. Default 0.7."`
	Ranges             map[string]Range `json:"ranges,omitempty" jsonschema_description:"Plausible ranges by channel, each with warn and stop."`
}

// Range is what a channel may plausibly read: samples outside Warn are
// remarked on, samples outside Stop cannot be right.
type Range struct {
	Warn []float64 `json:"warn" jsonschema:"minItems=2,maxItems=2" jsonschema_description:"Low and high of what is usual."`
	Stop []float64 `json:"stop" jsonschema:"minItems=2,maxItems=2" jsonschema_description:"Low and high of what is possible."`
}

// DefaultLimits are the limits of a dataset that states none. The ranges span
// the published means of running gait and heart rate: Burns 2019 (cadence),
// Karamanidis & Arampatzis 2005 (contact, step length), Garcia-Pinillos 2020,
// Morin 2005; where they end is an engineering choice.
func DefaultLimits() Limits {
	return Limits{
		GapS: 5, CoveragePct: 90, CoverageStopPct: 50, BlockMinS: 180, WindowMinS: 60,
		EffortOffPct: 3, EffortOffStopPct: 15, StepProductPct: 2, StepProductStopPct: 10, OrderCorrelation: 0.7,
		Ranges: map[string]Range{
			"power_w":        {Warn: []float64{100, 600}, Stop: []float64{40, 1200}},
			"speed_mps":      {Warn: []float64{2, 6.5}, Stop: []float64{1, 12}},
			"cadence_spm":    {Warn: []float64{145, 225}, Stop: []float64{120, 260}},
			"step_length_m":  {Warn: []float64{0.7, 1.9}, Stop: []float64{0.4, 2.6}},
			"contact_ms":     {Warn: []float64{150, 330}, Stop: []float64{100, 450}},
			"oscillation_cm": {Warn: []float64{4, 13}, Stop: []float64{2, 20}},
			"heart_rate_bpm": {Warn: []float64{90, 200}, Stop: []float64{30, 230}},
		},
	}
}
