package trial

import "soletrial/pipeline/units"

// DatasetFacts is the content of dataset.yaml. The struct tags name the keys and
// describe them; the strict reader and the JSON Schema both come from them.
type DatasetFacts struct {
	Title        string        `json:"title" jsonschema_description:"One line that names the dataset."`
	Description  string        `json:"description,omitempty" jsonschema_description:"What was tried, by whom, and for what question."`
	Invented     bool          `json:"invented,omitempty" jsonschema_description:"True when the data are made up (a demonstration); every page and table heading then says so."`
	Licence      string        `json:"licence,omitempty" jsonschema_description:"SPDX identifier of the licence of the data, such as CC-BY-4.0."`
	Contributors []Contributor `json:"contributors,omitempty" jsonschema_description:"Who made the data."`
	SiteURL      string        `json:"site_url,omitempty" jsonschema:"pattern=^https?:/{2}[-A-Za-z0-9._~:]+/([-A-Za-z0-9._~:/]*/)?$" jsonschema_description:"Address of the folder where the site stands, with a slash at its end. The site works without; with it, the feed and the citation name it."`
	Disclosure   string        `json:"disclosure,omitempty" jsonschema_description:"How the shoes were obtained and any tie to those who sell them."`
	Method       Method        `json:"method,omitempty" jsonschema_description:"How blocks are cut and shoes compared."`
	Limits       Limits        `json:"limits,omitempty" jsonschema_description:"Limits of the quality rules; each has a default."`
	Imports      []ImportMap   `json:"imports,omitempty" jsonschema_description:"Column maps remembered by import, one for each device whose CSV needs one."`
}

// Contributor is a person behind the data.
type Contributor struct {
	Name string `json:"name" jsonschema_description:"Name or pseudonym."`
	Role string `json:"role,omitempty" jsonschema_description:"What they did: runner, timekeeper, analysis."`
}

// Method is how blocks are cut and shoes compared; see [DefaultMethod].
type Method struct {
	Reference        string            `json:"reference,omitempty" jsonschema_description:"Shoe id that the others are compared with; by default the first id of shoes.csv."`
	Primary          string            `json:"primary,omitempty" jsonschema_description:"Outcome that decides. By default it follows from the effort: power or heart rate held -> speed, pace held -> heart_rate."`
	Trim             Trim              `json:"trim,omitempty" jsonschema_description:"Seconds cut off both ends of every block."`
	PowerExponent    float64           `json:"power_exponent,omitempty" jsonschema_description:"k of the equal-effort adjustment, ln(outcome) - k ln(held/target). 0 switches it off. Default 1."`
	Confidence       float64           `json:"confidence,omitempty" jsonschema:"minimum=0.5,maximum=0.999" jsonschema_description:"Confidence level of the intervals. Default 0.95."`
	Drift            string            `json:"drift,omitempty" jsonschema:"enum=linear,enum=none" jsonschema_description:"Whether a straight drift over the session is taken out. Default linear."`
	WorthwhilePct    float64           `json:"worthwhile_pct,omitempty" jsonschema_description:"Smallest difference that would matter to the runner, percent. Default 0.75: 0.3 times a race-to-race variation of 2.5 % (Hopkins & Hewson 2001)."`
	WeightPctPer100g float64           `json:"weight_pct_per_100g,omitempty" jsonschema_description:"Expected cost of 100 g more on each shoe, percent. Default 1 (Frederick 1984; Franz 2012; Hoogkamer 2016)."`
	Channels         map[string]string `json:"channels,omitempty" jsonschema_description:"Which device each channel is taken from, such as power_w: footpod. Otherwise the first recording listed that has the channel."`
	Races            []Race            `json:"races,omitempty" jsonschema_description:"Races to forecast: a distance and the time expected in the reference shoe."`
}

// Trim is what is cut off both ends of every block, in seconds.
type Trim struct {
	HeadS          float64 `json:"head_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Cut at the start. Default 60."`
	TailS          float64 `json:"tail_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Cut at the end. Default 15."`
	HeartRateHeadS float64 `json:"heart_rate_head_s,omitempty" jsonschema:"minimum=0" jsonschema_description:"Cut at the start for heart rate, which needs longer to settle. Default 180 (Hunt 2015: tau 57.6 s)."`
}

// Race is a race to forecast.
type Race struct {
	DistanceM float64 `json:"distance_m" jsonschema:"minimum=100" jsonschema_description:"Distance in metres."`
	Time      string  `json:"time" jsonschema_description:"Time expected in the reference shoe, h:mm:ss."`
}

// ImportMap says which column of a device's CSV holds which channel.
type ImportMap struct {
	Device  string            `json:"device" jsonschema_description:"The name given with --device."`
	Columns map[string]string `json:"columns" jsonschema_description:"Channel (such as power_w) to column heading."`
}

// DefaultMethod is the method of a dataset that states none.
func DefaultMethod() Method {
	return Method{
		Trim:          Trim{HeadS: 60, TailS: 15, HeartRateHeadS: 180},
		PowerExponent: 1, Confidence: 0.95, Drift: DriftLinear, WorthwhilePct: 0.75, WeightPctPer100g: 1,
	}
}

// The values of Method.Drift.
const (
	DriftLinear = "linear"
	DriftNone   = "none"
)

// SessionFacts is the content of session.yaml.
type SessionFacts struct {
	Date       string          `json:"date" jsonschema:"pattern=^[0-9]{4}-[0-9]{2}-[0-9]{2}$" jsonschema_description:"Local date, YYYY-MM-DD."`
	Start      string          `json:"start,omitempty" jsonschema_description:"Clock time at which the session clock reads 0: HH:MM or HH:MM:SS, with an offset such as +02:00 where known."`
	Runner     string          `json:"runner,omitempty" jsonschema_description:"Id from runners.csv; may be left out when there is only one runner."`
	Venue      string          `json:"venue,omitempty" jsonschema_description:"Id from venues.csv."`
	Effort     string          `json:"effort" jsonschema:"enum=power,enum=pace,enum=heart_rate" jsonschema_description:"What was held."`
	Target     string          `json:"target,omitempty" jsonschema:"oneof_type=string;number" jsonschema_description:"Watts, beats per minute, or a pace such as 4:30."`
	Protocol   Protocol        `json:"protocol,omitempty" jsonschema_description:"How the session was meant to be run."`
	Conditions Conditions      `json:"conditions,omitempty" jsonschema_description:"Weather and ground."`
	Recordings []RecordingFact `json:"recordings,omitempty" jsonschema_description:"The recordings beside this file; import writes them."`
	Overrides  []Override      `json:"overrides,omitempty" jsonschema_description:"Findings of severity stop that the person decided to let pass, each with a reason."`
	Deviations []string        `json:"deviations,omitempty" jsonschema_description:"What went otherwise than planned."`
	Notes      string          `json:"notes,omitempty" jsonschema_description:"Anything else a reader should know."`
}

// Protocol is how a session was meant to be run.
type Protocol struct {
	BlockS  float64 `json:"block_s,omitempty" jsonschema_description:"Length of a block, seconds."`
	RestS   float64 `json:"rest_s,omitempty" jsonschema_description:"Rest between blocks, seconds."`
	WarmUpS float64 `json:"warm_up_s,omitempty" jsonschema_description:"Warm-up before the first block, seconds."`
	Display string  `json:"display,omitempty" jsonschema_description:"What the runner could see while running."`
	Sensor  string  `json:"sensor,omitempty" jsonschema_description:"Where the sensor sat, and whether it moved between shoes."`
}

// Conditions is the weather and the ground of a session.
type Conditions struct {
	AirC        float64 `json:"air_c,omitempty" jsonschema_description:"Air temperature, degrees Celsius."`
	HumidityPct float64 `json:"humidity_pct,omitempty" jsonschema:"minimum=0,maximum=100" jsonschema_description:"Relative humidity, percent."`
	PressureHpa float64 `json:"pressure_hpa,omitempty" jsonschema_description:"Air pressure at the venue, hPa."`
	WindMps     float64 `json:"wind_mps,omitempty" jsonschema_description:"Wind speed, m/s."`
	WbgtC       float64 `json:"wbgt_c,omitempty" jsonschema_description:"Wet-bulb globe temperature, degrees Celsius."`
	Sky         string  `json:"sky,omitempty" jsonschema_description:"Sun, cloud, rain."`
	Surface     string  `json:"surface,omitempty" jsonschema_description:"Dry, damp, wet; soft, hard."`
}

// RecordingFact describes one recording file of a session.
type RecordingFact struct {
	File         string  `json:"file" jsonschema_description:"File name beside session.yaml."`
	Device       string  `json:"device,omitempty" jsonschema_description:"What recorded it, in words such as footpod or watch."`
	Mount        string  `json:"mount,omitempty" jsonschema_description:"Where it was worn."`
	Calibration  string  `json:"calibration,omitempty" jsonschema_description:"To what the sensor was calibrated, and when; one that changes between sessions is noted."`
	OffsetS      float64 `json:"offset_s,omitempty" jsonschema_description:"Added to elapsed_s to give session time. Default 0."`
	SourceSha256 string  `json:"source_sha256,omitempty" jsonschema_description:"SHA-256 of the file it was imported from."`
	SourceFormat string  `json:"source_format,omitempty" jsonschema:"enum=fit,enum=gpx,enum=csv" jsonschema_description:"Format of the file it was imported from."`
}

// Override lets a finding of severity stop pass, in writing.
type Override struct {
	Rule   RuleSlug `json:"rule" jsonschema_description:"The rule's name."`
	Block  string   `json:"block,omitempty" jsonschema_description:"The block; left out for the whole session."`
	Reason string   `json:"reason" jsonschema_description:"Why the finding may pass; shown beside every result."`
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
