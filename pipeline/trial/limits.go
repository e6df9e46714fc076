package trial

// Limits are the limits of the quality rules. Every field has a default, see
// [DefaultLimits].
type Limits struct {
	GapS                  float64          `json:"gap_s,omitempty" jsonschema:"minimum=0"`
	CoveragePct           float64          `json:"coverage_pct,omitempty" jsonschema:"minimum=0,maximum=100"`
	CoverageStopPct       float64          `json:"coverage_stop_pct,omitempty" jsonschema:"minimum=0,maximum=100"`
	BlockMinS             float64          `json:"block_min_s,omitempty" jsonschema:"minimum=0"`
	WindowMinS            float64          `json:"window_min_s,omitempty" jsonschema:"minimum=0"`
	EffortOffPct          float64          `json:"effort_off_pct,omitempty" jsonschema:"minimum=0"`
	EffortOffStopPct      float64          `json:"effort_off_stop_pct,omitempty" jsonschema:"minimum=0"`
	StepProductPct        float64          `json:"step_product_pct,omitempty" jsonschema:"minimum=0"`
	StepProductStopPct    float64          `json:"step_product_stop_pct,omitempty" jsonschema:"minimum=0"`
	OrderCorrelation      float64          `json:"order_correlation,omitempty" jsonschema:"minimum=0,maximum=1"`
	FrozenS               float64          `json:"frozen_s,omitempty" jsonschema:"minimum=0"`
	FrozenCoarseS         float64          `json:"frozen_coarse_s,omitempty" jsonschema:"minimum=0"`
	SpikePct              float64          `json:"spike_pct,omitempty" jsonschema:"minimum=0"`
	SpeedDistancePct      float64          `json:"speed_distance_pct,omitempty" jsonschema:"minimum=0"`
	GroundDistancePct     float64          `json:"ground_distance_pct,omitempty" jsonschema:"minimum=0"`
	GroundDistanceStopPct float64          `json:"ground_distance_stop_pct,omitempty" jsonschema:"minimum=0"`
	EffortVariationPct    float64          `json:"effort_variation_pct,omitempty" jsonschema:"minimum=0"`
	EffortChangePct       float64          `json:"effort_change_pct,omitempty" jsonschema:"minimum=0"`
	HeartSlopeBpmMin      float64          `json:"heart_slope_bpm_min,omitempty" jsonschema:"minimum=0"`
	SensorBetweenPct      float64          `json:"sensor_between_pct,omitempty" jsonschema:"minimum=0"`
	BalanceRatio          float64          `json:"balance_ratio,omitempty" jsonschema:"minimum=1"`
	RestApartS            float64          `json:"rest_apart_s,omitempty" jsonschema:"minimum=0"`
	WarmUpS               float64          `json:"warm_up_s,omitempty" jsonschema:"minimum=0"`
	HeatWbgtC             float64          `json:"heat_wbgt_c,omitempty" jsonschema:"minimum=-50"`
	HeatWbgtWarnC         float64          `json:"heat_wbgt_warn_c,omitempty" jsonschema:"minimum=-50"`
	HeatAirC              float64          `json:"heat_air_c,omitempty" jsonschema:"minimum=-50"`
	WindMps               float64          `json:"wind_mps,omitempty" jsonschema:"minimum=0"`
	AirApartC             float64          `json:"air_apart_c,omitempty" jsonschema:"minimum=0"`
	AirWithinC            float64          `json:"air_within_c,omitempty" jsonschema:"minimum=0"`
	WindApartMps          float64          `json:"wind_apart_mps,omitempty" jsonschema:"minimum=0"`
	WearApartKm           float64          `json:"wear_apart_km,omitempty" jsonschema:"minimum=0"`
	Ranges                map[string]Range `json:"ranges,omitempty"`
}

// Range is what a channel may plausibly read: samples outside Warn are
// remarked on, samples outside Stop cannot be right.
type Range struct {
	Warn []float64 `json:"warn" jsonschema:"minItems=2,maxItems=2"`
	Stop []float64 `json:"stop" jsonschema:"minItems=2,maxItems=2"`
}

// DefaultLimits are the limits of a dataset that states none. The ranges span
// the published means of running gait and heart rate: Burns 2019 (cadence),
// Karamanidis & Arampatzis 2005 (contact, step length), Garcia-Pinillos 2020,
// Morin 2005; where they end is an engineering choice.
func DefaultLimits() Limits {
	return Limits{
		GapS: 5, CoveragePct: 90, CoverageStopPct: 50, BlockMinS: 180, WindowMinS: 60,
		EffortOffPct: 3, EffortOffStopPct: 15, StepProductPct: 2, StepProductStopPct: 10, OrderCorrelation: 0.7,
		FrozenS: 30, FrozenCoarseS: 90, SpikePct: 30, SpeedDistancePct: 3,
		GroundDistancePct: 3, GroundDistanceStopPct: 10,
		EffortVariationPct: 8, EffortChangePct: 5, HeartSlopeBpmMin: 3, SensorBetweenPct: 1,
		BalanceRatio: 2, RestApartS: 60, WarmUpS: 300, HeatWbgtC: 18.4, HeatWbgtWarnC: 22.3, HeatAirC: 25, WindMps: 3,
		AirApartC: 10, AirWithinC: 3, WindApartMps: 2, WearApartKm: 300,
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
