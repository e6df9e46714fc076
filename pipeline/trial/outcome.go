package trial

// Outcome is a quantity in which shoes are compared, one number per block.
type Outcome int

// The outcomes, in the order of every table.
const (
	Speed Outcome = iota
	PacePerKm
	Heart
	BeatsPerKm
	MeanPower
	PowerPerSpeedMass
	Cadence
	StepLength
	Contact
	Flight
	DutyFactor
	Oscillation
	RisePerStep
	VerticalStiffness
	LegStiffness
	Oxygen
	RPE
	Comfort
	OutcomeCount
)

// OutcomeInfo describes an outcome. A Ratio outcome is compared on the log
// scale and reported in percent; the others on their own scale in Unit. Better
// is +1 where more is better at equal effort, -1 where less is, 0 where neither.
type OutcomeInfo struct {
	ID, Column, Label, Unit string
	Decimals                int
	Ratio                   bool
	Better                  int
}

var outcomes = [OutcomeCount]OutcomeInfo{
	{"speed", "speed_mps", "speed", "m/s", 4, true, 1},
	{"pace", "pace_s_per_km", "pace", "s/km", 3, true, -1},
	{"heart_rate", "heart_rate_bpm", "heart rate", "bpm", 2, true, -1},
	{"beats_per_km", "beats_per_km", "heart beats per km", "1/km", 2, true, -1},
	{"power", "power_w", "power", "W", 2, true, -1},
	{"power_per_speed_mass", "power_per_speed_mass_j_per_kg_m", "power per speed and body mass", "J/kg/m", 4, true, -1},
	{"cadence", "cadence_spm", "cadence", "steps/min", 2, true, 0},
	{"step_length", "step_length_m", "step length", "m", 4, true, 0},
	{"contact", "contact_ms", "contact time", "ms", 2, true, 0},
	{"flight", "flight_ms", "flight time", "ms", 2, true, 0},
	{"duty_factor", "duty_factor_pct", "duty factor", "%", 3, true, 0},
	{"oscillation", "oscillation_cm", "vertical oscillation", "cm", 3, true, 0},
	{"rise_per_step", "rise_per_step_pct", "rise per step", "%", 3, true, 0},
	{"vertical_stiffness", "vertical_stiffness_kn_per_m", "vertical stiffness", "kN/m", 4, true, 0},
	{"leg_stiffness", "leg_stiffness_kn_per_m", "leg stiffness", "kN/m", 4, true, 0},
	{"oxygen", "oxygen_ml_kg_min", "oxygen uptake", "mL/kg/min", 3, true, -1},
	{"rpe", "rpe", "perceived exertion", "points", 1, false, -1},
	{"comfort", "comfort_mm", "comfort", "mm", 1, false, 1},
}

// Info returns the description of o.
func (o Outcome) Info() OutcomeInfo { return outcomes[o] }

// Decimals returns how many decimals o is written with.
func (o Outcome) Decimals() int { return outcomes[o].Decimals }

// OutcomeNamed returns the outcome with the given id.
func OutcomeNamed(id string) (Outcome, bool) {
	for o := range OutcomeCount {
		if outcomes[o].ID == id {
			return o, true
		}
	}
	return 0, false
}

// PrimaryFor returns the outcome that decides when the given effort is held and
// the method names none.
func PrimaryFor(effort Effort) Outcome {
	if effort == Pace {
		return Heart
	}
	return Speed
}

// ChannelMeans ties the channels to the outcomes that are their plain block means.
var ChannelMeans = []struct {
	Channel Channel
	Outcome Outcome
}{
	{PowerW, MeanPower}, {SpeedMps, Speed}, {CadenceSpm, Cadence}, {StepLengthM, StepLength},
	{ContactMs, Contact}, {OscillationCm, Oscillation}, {HeartRateBpm, Heart},
}

// measureOutcomes ties the columns of blocks.csv to the outcomes they give.
var measureOutcomes = [MeasureCount]Outcome{MeanPower, Speed, Heart, Cadence, StepLength, Contact, Oscillation, Oxygen}

// Outcome returns the outcome that a measure is the block mean of.
func (m Measure) Outcome() Outcome { return measureOutcomes[m] }
