package intake

import (
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Registers are what a new dataset starts with, as a person writes it.
type Registers struct {
	Runner, Venue string
	Shoes         []string
}

// Addable is the error of a shoe that cannot be one more of the register.
func (r *Registers) Addable(text string) error {
	_, err := parseShoes(append(slices.Clone(r.Shoes), text))
	return err
}

// parseShoes reads shoes as ID:LABEL:GRAMS, each with an id of its own.
func parseShoes(texts []string) ([]trial.Shoe, error) {
	var shoes []trial.Shoe
	for _, text := range texts {
		shoe, err := ParseShoe("--shoe", text)
		if err != nil {
			return nil, err
		}
		if slices.ContainsFunc(shoes, func(s trial.Shoe) bool { return s.ID == shoe.ID }) {
			return nil, voice.Usage("give every shoe an id of its own", "--shoe: %q is named twice", shoe.ID)
		}
		shoes = append(shoes, shoe)
	}
	return shoes, nil
}

// ParseRunner reads ID:NAME, of which the name may be left out.
func ParseRunner(text string) (trial.Runner, error) {
	m := units.Missing
	id, label, _ := strings.Cut(text, ":")
	r := trial.Runner{ID: strings.TrimSpace(id), Label: strings.TrimSpace(label), MassKg: m, HeightCm: m,
		LegLengthCm: m}
	if !Nameable(r.ID) {
		return r, voice.Usage("write ID:NAME, the id in lower-case letters and digits, such as ada:Ada",
			"--runner: %q cannot be the id of a runner", r.ID)
	}
	if r.Label == "" {
		r.Label = r.ID
	}
	return r, nil
}

// Write puts the registers among the files of a new dataset.
func (r *Registers) Write(files map[string][]byte) error {
	if r.Runner != "" {
		runner, err := ParseRunner(r.Runner)
		if err != nil {
			return err
		}
		files["runners.csv"] = plaintext.AppendRunners(nil, []trial.Runner{runner})
	}
	shoes, err := parseShoes(r.Shoes)
	if err != nil {
		return err
	}
	files["shoes.csv"] = plaintext.AppendShoes(nil, shoes)
	if r.Venue == "" {
		return nil
	}
	venue, err := ParseVenue(r.Venue)
	if err != nil {
		return err
	}
	files["venues.csv"] = plaintext.AppendVenues(nil, []trial.Venue{venue})
	return nil
}

// ParseVenue reads ID:LABEL:KIND:LAP, of which all but the id may be left out; a lap may
// be in yards or miles.
func ParseVenue(text string) (trial.Venue, error) {
	const hint = "write ID:LABEL:KIND:LAP, such as oval:Town oval:track:400; " +
		"the kinds are track, road, treadmill, trail"
	// Fields that are left out at the end are blank.
	fields := append(strings.Split(text, ":"), "", "", "")
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	v := trial.Venue{ID: fields[0], Label: fields[1], Kind: fields[2], LapM: units.Missing, Lane: units.Missing,
		AltitudeM: units.Missing}
	if v.Label == "" {
		v.Label = v.ID
	}
	switch {
	case !Nameable(v.ID):
		return v, voice.Usage(hint, "--venue: %q cannot be the id of a venue", v.ID)
	case v.Kind != "" && !slices.Contains(trial.VenueKinds, v.Kind):
		return v, voice.Usage(hint, "--venue: %q is no kind of venue", v.Kind)
	}
	// The length of a lap, with its unit.
	if fields[3] != "" {
		lap, err := units.ParseLength(fields[3])
		if err != nil || lap <= 0 {
			return v, voice.Usage(hint, "--venue: %q is not the length of a lap", fields[3])
		}
		v.LapM = units.Round(lap, 3)
	}
	return v, nil
}
