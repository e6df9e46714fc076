package trial

// Limits are the limits of the quality rules. Every field has a default, see
// [DefaultLimits].
type Limits struct {
	GapS                  float64          `json:"gap_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Longest time between two samples that is not a gap, seconds. Default 5."`
	CoveragePct           float64          `json:"coverage_pct,omitempty" jsonschema:"minimum=0,maximum=100" jsonschema_description:"Least share of the steady window with valid samples, percent. Default 90."`
	CoverageStopPct       float64          `json:"coverage_stop_pct,omitempty" jsonschema:"minimum=0,maximum=100" jsonschema_description:"Below this share the block is kept out. Default 50."`
	BlockMinS             float64          `json:"block_min_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Shortest block worth its warm-in, seconds. Default 180."`
	WindowMinS            float64          `json:"window_min_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Shortest steady window, seconds; below it the block is kept out. Default 60."`
	EffortOffPct          float64          `json:"effort_off_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Held effort may differ from its target by this much, percent. Default 3."`
	EffortOffStopPct      float64          `json:"effort_off_stop_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Beyond this the block is kept out, percent. Default 15."`
	StepProductPct        float64          `json:"step_product_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Cadence times step length may differ from speed by this much, percent. Default 2; rounding explains 0.7."`
	StepProductStopPct    float64          `json:"step_product_stop_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Beyond this the block is kept out, percent. Default 10."`
	OrderCorrelation      float64          `json:"order_correlation,omitempty" jsonschema:"minimum=0,maximum=1" jsonschema_description:"Correlation between a shoe and the clock beyond which the order is confounded. Default 0.7."`
	FrozenS               float64          `json:"frozen_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Longest time a channel may read the same number within a block, seconds. Default 30."`
	FrozenCoarseS         float64          `json:"frozen_coarse_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"The same for cadence, step length and heart rate, which come in coarse steps. Default 90."`
	SpikePct              float64          `json:"spike_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"A single sample may stand out from both its neighbours by this much, percent. Default 30."`
	SpeedDistancePct      float64          `json:"speed_distance_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Recorded distance per second may differ from recorded speed by this much, percent. Default 3."`
	GroundDistancePct     float64          `json:"ground_distance_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Recorded distance may differ from the ground by this much, percent. Default 3; running 1 m wide explains 1.6."`
	GroundDistanceStopPct float64          `json:"ground_distance_stop_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Beyond this the block is kept out, percent. Default 10."`
	EffortVariationPct    float64          `json:"effort_variation_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Held effort may vary within the steady window by this much (coefficient of variation), percent. Default 8."`
	EffortChangePct       float64          `json:"effort_change_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Held effort may change along a straight line over the steady window by this much, percent. Default 5."`
	HeartSlopeBpmMin      float64          `json:"heart_slope_bpm_min,omitempty" jsonschema:"minimum=0" jsonschema_description:"Heart rate may still rise or fall by this much at the end of the window, bpm per minute. Default 3; a first-order response gives 1.8 after 180 s (Hunt 2015)."`
	EffortBetweenPct      float64          `json:"effort_between_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"Mean held effort may differ between two shoes of a session by this much, percent. Default 2."`
	SensorBetweenPct      float64          `json:"sensor_between_pct,omitempty" jsonschema:"minimum=0" jsonschema_description:"A sensor check may differ between two shoes of a session by this much, percent. Default 1."`
	BalanceRatio          float64          `json:"balance_ratio,omitempty" jsonschema:"minimum=1" jsonschema_description:"A shoe may have fewer than this many times the blocks of another in a session. Default 2."`
	RestApartS            float64          `json:"rest_apart_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Rests of a session may differ by this much, seconds. Default 60."`
	WarmUpS               float64          `json:"warm_up_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Shortest warm-up before the first block, seconds. Default 300."`
	HeatWbgtC             float64          `json:"heat_wbgt_c,omitempty" jsonschema:"minimum=-50" jsonschema_description:"Wet-bulb globe temperature from which heat is noted. Default 18.4 (ACSM 2007: risk begins to rise)."`
	HeatWbgtWarnC         float64          `json:"heat_wbgt_warn_c,omitempty" jsonschema:"minimum=-50" jsonschema_description:"And from which it is warned of. Default 22.3 (ACSM 2007: risk is raised for everyone)."`
	HeatAirC              float64          `json:"heat_air_c,omitempty" jsonschema:"minimum=-50" jsonschema_description:"Air temperature from which heat is noted where no wet-bulb globe temperature was measured. Default 25."`
	WindMps               float64          `json:"wind_mps,omitempty" jsonschema:"minimum=0" jsonschema_description:"Wind from which it is warned of, m/s. Default 3."`
	AirApartC             float64          `json:"air_apart_c,omitempty" jsonschema:"minimum=0" jsonschema_description:"Air temperature may differ between sessions by this much, degrees Celsius. Default 10."`
	AirWithinC            float64          `json:"air_within_c,omitempty" jsonschema:"minimum=0" jsonschema_description:"Air temperature may differ between blocks of a session by this much, degrees Celsius. Default 3."`
	WindApartMps          float64          `json:"wind_apart_mps,omitempty" jsonschema:"minimum=0" jsonschema_description:"Wind may differ between sessions by this much, m/s. Default 2."`
	WearApartKm           float64          `json:"wear_apart_km,omitempty" jsonschema:"minimum=0" jsonschema_description:"Distance worn before may differ between shoes by this much, km. Default 300."`
	Ranges                map[string]Range `json:"ranges,omitempty" jsonschema_description:"Plausible ranges by channel, each with warn and stop."`
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
		FrozenS: 30, FrozenCoarseS: 90, SpikePct: 30, SpeedDistancePct: 3, GroundDistancePct: 3, GroundDistanceStopPct: 10,
		EffortVariationPct: 8, EffortChangePct: 5, HeartSlopeBpmMin: 3, EffortBetweenPct: 2, SensorBetweenPct: 1,
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
