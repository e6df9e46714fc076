package trial

import "soletrial/pipeline/units"

// DefaultTitle names a dataset whose people have not named it yet.
const DefaultTitle = "A shoe trial"

// DatasetFacts is the content of dataset.yaml. The struct tags name the keys and
// limit their values; the strict reader and the JSON Schema both come from them.
// What a key means stands in meaning.go.
type DatasetFacts struct {
	Title        string        `json:"title"`
	Description  string        `json:"description,omitempty"`
	Invented     bool          `json:"invented,omitempty"`
	Licence      string        `json:"licence,omitempty"`
	Keywords     []string      `json:"keywords,omitempty"`
	Version      string        `json:"version,omitempty"`
	DOI          string        `json:"doi,omitempty"`
	Contributors []Contributor `json:"contributors,omitempty"`
	SiteURL      string        `json:"site_url,omitempty"`
	Disclosure   string        `json:"disclosure,omitempty"`
	Method       Method        `json:"method,omitempty"`
	Limits       Limits        `json:"limits,omitempty"`
	Imports      []ImportMap   `json:"imports,omitempty"`
}

// Contributor is a person behind the data.
type Contributor struct {
	Name  string `json:"name"`
	Role  string `json:"role,omitempty"`
	ORCID string `json:"orcid,omitempty"`
}

// Method is how blocks are cut and shoes compared; see [DefaultMethod].
type Method struct {
	Reference        string            `json:"reference,omitempty"`
	Primary          string            `json:"primary,omitempty"`
	Trim             Trim              `json:"trim,omitempty"`
	PowerExponent    float64           `json:"power_exponent,omitempty"`
	Confidence       float64           `json:"confidence,omitempty" jsonschema:"minimum=0.5,maximum=0.999"`
	Drift            string            `json:"drift,omitempty" jsonschema:"enum=linear,enum=none"`
	WorthwhilePct    float64           `json:"worthwhile_pct,omitempty"`
	WeightPctPer100g float64           `json:"weight_pct_per_100g,omitempty"`
	Channels         map[string]string `json:"channels,omitempty"`
	Races            []Race            `json:"races,omitempty"`
	Headline         string            `json:"headline,omitempty" jsonschema:"enum=power,enum=pace,enum=heart_rate"`
	SensorByShoePct  float64           `json:"sensor_by_shoe_pct,omitempty" jsonschema:"minimum=0"`
	Prior            Prior             `json:"prior,omitempty"`
}

// Prior is what the decision model assumes of such trials in general, in percent; see
// the package decide for what each does.
type Prior struct {
	BlockPct     PriorByOutcome `json:"block_pct,omitempty"`
	BlockDF      float64        `json:"block_df,omitempty" jsonschema:"minimum=0.01"`
	DayPct       PriorByOutcome `json:"day_pct,omitempty"`
	RunnerPct    float64        `json:"runner_pct,omitempty" jsonschema:"minimum=0.0001"`
	DriftPctPerH PriorByOutcome `json:"drift_pct_per_h,omitempty"`
	Exponents    PriorExponents `json:"exponents,omitempty"`
}

// PriorByOutcome is a spread for speed and one for heart rate.
type PriorByOutcome struct {
	Speed     float64 `json:"speed,omitempty" jsonschema:"minimum=0.0001"`
	HeartRate float64 `json:"heart_rate,omitempty" jsonschema:"minimum=0.0001"`
}

// PriorExponents are the exponents of equal effort, k in k ln(held/target), by what was
// held and what is compared.
type PriorExponents struct {
	PowerSpeed     PriorExponent `json:"power_speed,omitempty"`
	PaceHeartRate  PriorExponent `json:"pace_heart_rate,omitempty"`
	HeartRateSpeed PriorExponent `json:"heart_rate_speed,omitempty"`
	PowerHeartRate PriorExponent `json:"power_heart_rate,omitempty"`
}

// PriorExponent is an exponent and its standard deviation.
type PriorExponent struct {
	Mean float64 `json:"mean,omitempty"`
	SD   float64 `json:"sd,omitempty" jsonschema:"minimum=0"`
}

// Trim is what is cut off both ends of every block, in seconds.
type Trim struct {
	HeadS          float64 `json:"head_s,omitempty" jsonschema:"minimum=0"`
	TailS          float64 `json:"tail_s,omitempty" jsonschema:"minimum=0"`
	HeartRateHeadS float64 `json:"heart_rate_head_s,omitempty" jsonschema:"minimum=0"`
	Laps           string  `json:"laps,omitempty" jsonschema:"enum=whole"`
}

// WholeLaps is the value of Trim.Laps that cuts a block to its whole laps.
const WholeLaps = "whole"

// Race is a race to forecast.
type Race struct {
	DistanceM float64 `json:"distance_m" jsonschema:"minimum=100"`
	Time      string  `json:"time"`
}

// ImportMap says which column of a device's CSV holds which channel.
type ImportMap struct {
	Device  string            `json:"device"`
	Columns map[string]string `json:"columns"`
}

// EqualEffort returns the exponent k of equal effort, k ln(held/target), for what was held
// and what is compared, and false for a pair that has none. A power exponent fixes that of
// speed at the same power.
func (m Method) EqualEffort(held Effort, compared Outcome) (PriorExponent, bool) {
	e := m.Prior.Exponents
	switch {
	case held == Power && compared == Speed && units.Known(m.PowerExponent):
		return PriorExponent{Mean: m.PowerExponent}, true
	case held == Power && compared == Speed:
		return e.PowerSpeed, true
	case held == Pace && compared == Heart:
		return e.PaceHeartRate, true
	case held == HeartRate && compared == Speed:
		return e.HeartRateSpeed, true
	case held == Power && compared == Heart:
		return e.PowerHeartRate, true
	}
	return PriorExponent{}, false
}

// OutcomeAt returns the outcome that decides at an effort: the method's own where it has an
// exponent of equal effort there, else that of [PrimaryFor].
func (m Method) OutcomeAt(effort Effort) Outcome {
	if o, ok := OutcomeNamed(m.Primary); ok {
		if _, ok := m.EqualEffort(effort, o); ok {
			return o
		}
	}
	return PrimaryFor(effort)
}

// DefaultMethod is the method of a dataset that states none.
func DefaultMethod() Method {
	return Method{
		Trim:          Trim{HeadS: 60, TailS: 15, HeartRateHeadS: 180},
		PowerExponent: units.Missing, Confidence: 0.95, Drift: DriftLinear, WorthwhilePct: 0.75, WeightPctPer100g: 1,
		SensorByShoePct: 0.3,
		Prior:           defaultPrior(),
	}
}

// defaultPrior holds engineering choices; meaning.go gives the reason of each.
func defaultPrior() Prior {
	return Prior{
		BlockPct: PriorByOutcome{Speed: 0.9, HeartRate: 1.2}, BlockDF: 3,
		DayPct:       PriorByOutcome{Speed: 0.75, HeartRate: 1},
		RunnerPct:    1,
		DriftPctPerH: PriorByOutcome{Speed: 2, HeartRate: 4},
		Exponents: PriorExponents{
			PowerSpeed: PriorExponent{0.9, 0.15}, PaceHeartRate: PriorExponent{0.7, 0.2},
			HeartRateSpeed: PriorExponent{1.4, 0.4}, PowerHeartRate: PriorExponent{0.65, 0.2},
		},
	}
}

// The values of Method.Drift.
const (
	DriftLinear = "linear"
	DriftNone   = "none"
)

// SessionFacts is the content of session.yaml.
type SessionFacts struct {
	Date       string          `json:"date" jsonschema:"pattern=^[0-9]{4}-[0-9]{2}-[0-9]{2}$"`
	Start      string          `json:"start,omitempty"`
	Runner     string          `json:"runner,omitempty"`
	Venue      string          `json:"venue,omitempty"`
	Effort     string          `json:"effort" jsonschema:"enum=power,enum=pace,enum=heart_rate"`
	Target     string          `json:"target,omitempty" jsonschema:"oneof_type=string;number"`
	Protocol   Protocol        `json:"protocol,omitempty"`
	Conditions Conditions      `json:"conditions,omitempty"`
	Recordings []RecordingFact `json:"recordings,omitempty"`
	Overrides  []Override      `json:"overrides,omitempty"`
	Deviations []string        `json:"deviations,omitempty"`
	Notes      string          `json:"notes,omitempty"`
}

// Protocol is how a session was meant to be run.
type Protocol struct {
	BlockS  float64 `json:"block_s,omitempty"`
	RestS   float64 `json:"rest_s,omitempty"`
	WarmUpS float64 `json:"warm_up_s,omitempty"`
	Display string  `json:"display,omitempty"`
	Sensor  string  `json:"sensor,omitempty"`
}

// Conditions is the weather and the ground of a session.
type Conditions struct {
	AirC        float64 `json:"air_c,omitempty"`
	HumidityPct float64 `json:"humidity_pct,omitempty" jsonschema:"minimum=0,maximum=100"`
	PressureHpa float64 `json:"pressure_hpa,omitempty"`
	WindMps     float64 `json:"wind_mps,omitempty"`
	WbgtC       float64 `json:"wbgt_c,omitempty"`
	Sky         string  `json:"sky,omitempty"`
	Surface     string  `json:"surface,omitempty"`
}

// RecordingFact describes one recording file of a session.
type RecordingFact struct {
	File         string  `json:"file"`
	Device       string  `json:"device,omitempty"`
	Mount        string  `json:"mount,omitempty"`
	Calibration  string  `json:"calibration,omitempty"`
	OffsetS      float64 `json:"offset_s,omitempty"`
	SourceSha256 string  `json:"source_sha256,omitempty"`
	SourceFormat string  `json:"source_format,omitempty" jsonschema:"enum=fit,enum=gpx,enum=csv"`
}

// Override lets a finding of severity stop pass, in writing.
type Override struct {
	Rule   RuleSlug `json:"rule"`
	Block  string   `json:"block,omitempty"`
	Reason string   `json:"reason"`
}

// Trimmed reports the steady window of a block that runs from start to end under
// t, in seconds of session time; heartRate chooses the longer head.
func (t Trim) Trimmed(start, end float64, heartRate bool) (from, to float64) {
	head := t.HeadS
	if heartRate && units.Known(t.HeartRateHeadS) {
		head = t.HeartRateHeadS
	}
	return start + head, end - t.TailS
}
