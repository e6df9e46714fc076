package datapackage

import (
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
)

// Tables lists every kind of table, in the order that pages show them.
func Tables() []*Table {
	return []*Table{
		&shoes, &runners, &venues, &blocks, &recording,
		fixedTables["derived/decisions.csv"], fixedTables["derived/ranking.csv"], fixedTables["derived/progress.csv"],
		fixedTables["derived/analyses.csv"],
		fixedTables["derived/blocks.csv"], fixedTables["derived/comparisons.csv"], fixedTables["derived/sessions.csv"],
		fixedTables["derived/findings.csv"], fixedTables["derived/forecast.csv"], fixedTables["derived/sensor.csv"],
	}
}

// fixedTables are the tables that stand at one place each.
var fixedTables = map[string]*Table{
	"runners.csv": &runners, "shoes.csv": &shoes, "venues.csv": &venues,
	"derived/blocks.csv": {Name: "derived blocks", Title: "One block reduced to the means of its steady window",
		Fields: derived("blocks.csv"), Key: []string{"session", "block"}, References: ofShoes("shoe")},
	"derived/comparisons.csv": {Name: "derived comparisons",
		Title: "One pair of shoes in one outcome at one effort and target", Fields: derived("comparisons.csv"),
		Key: []string{"outcome", "effort", "target", "shoe", "reference"}, References: ofShoes("shoe", "reference")},
	"derived/decisions.csv": {Name: "derived decisions", Title: "How likely one shoe is better than another",
		Fields: derived("decisions.csv"), Key: []string{"effort", "shoe", "reference"},
		References: ofShoes("shoe", "reference")},
	"derived/ranking.csv": {Name: "derived ranking", Title: "How likely each shoe is the best at an effort",
		Fields: derived("ranking.csv"), Key: []string{"effort", "shoe"}, References: ofShoes("shoe")},
	"derived/progress.csv": {Name: "derived progress", Title: "The answer after each session",
		Fields: derived("progress.csv"), Key: []string{"effort", "session", "shoe"}, References: ofShoes("shoe")},
	"derived/analyses.csv": {Name: "derived analyses", Title: "The answer under other choices",
		Fields: derived("analyses.csv"), References: ofShoes("shoe")},
	"derived/sessions.csv": {
		Name:       "derived sessions",
		Title:      "One pair of shoes within one session, and over all sessions up to it",
		Fields:     derived("sessions.csv"),
		Key:        []string{"session", "outcome", "effort", "target", "shoe", "reference"},
		References: ofShoes("shoe", "reference"),
	},
	"derived/findings.csv": {Name: "derived findings", Title: "One finding of a quality rule",
		Fields: derived("findings.csv")},
	"derived/forecast.csv": {Name: "derived forecast", Title: "One race in one shoe along one cost curve",
		Fields: derived("forecast.csv"), Key: []string{"shoe", "reference", "distance_m", "base_time_s",
			"curve"}, References: ofShoes("shoe", "reference")},
	"derived/sensor.csv": {Name: "derived sensor", Title: "One check of the sensor, for one shoe",
		Fields:     derived("sensor.csv"),
		References: ofShoes("shoe")},
}

// derived are the fields of a derived table, as the package that writes it has them.
func derived(name string) []Field {
	columns := derive.TableColumns(name)
	fields := make([]Field, len(columns))
	for i, c := range columns {
		fields[i] = Field(c)
	}
	return fields
}

func ofShoes(columns ...string) []Reference {
	var list []Reference
	for _, c := range columns {
		list = append(list, Reference{Column: c, Table: "shoes.csv", Field: "id"})
	}
	return list
}

func word(name, meaning string) Field { return Field{Name: name, Type: "string", Meaning: meaning} }
func number(name, unit, meaning string) Field {
	return Field{Name: name, Type: "number", Unit: unit, Meaning: meaning}
}

func yesNo(name, meaning string) Field { return Field{Name: name, Type: "boolean", Meaning: meaning} }

// always marks a field that is never blank.
func always(f Field) Field {
	f.Required = true
	return f
}

// within bounds a number.
func within(min, max string, f Field) Field {
	f.Min, f.Max = min, max
	return f
}

func oneOf(f Field, words ...string) Field {
	f.OneOf = words
	return f
}

var shoes = Table{Name: "shoes", Title: "One pair of shoes", Key: []string{"id"}, Fields: []Field{
	always(word("id", "Short name; other tables use it")), always(word("label", "Name for people")),
	within("0", "", number("mass_g", "g", "Mass of ONE shoe, the mean of left and right, as worn")),
	within("0", "", number("size_eu", "European size", "Size")), within("0", "", number("heel_mm", "mm",
		"Stack height at the heel")), within("0", "", number("forefoot_mm", "mm", "Stack height at the forefoot")),
	word("plate", "Plate in the sole"), within("0", "", number("worn_km", "km", "Distance worn before the trial")),
	within("0", "", number("expected_km", "km", "How far you expect the pair to last")),
	within("0", "", number("price", "by currency", "Price of the pair, in the currency of the next column")),
	word("currency", "Currency of the price, three letters by ISO 4217"),
	word("obtained", "How the pair was obtained"), word("notes", "Anything else"),
}}

var runners = Table{Name: "runners", Title: "One runner", Key: []string{"id"}, Fields: []Field{
	always(word("id", "Short name; sessions use it")), always(word("label", "Name or pseudonym for people")),
	within("0", "", number("mass_kg", "kg", "Body mass")), within("0", "", number("height_cm", "cm", "Height")),
	within("0", "", number("leg_length_cm", "cm", "Leg length; where blank, 0.53 of the height")),
}}

var venues = Table{Name: "venues", Title: "One place to run", Key: []string{"id"}, Fields: []Field{
	always(word("id", "Short name; sessions use it")), always(word("label", "Name for people")),
	oneOf(word("kind", "What kind of ground"), trial.VenueKinds...),
	within("0", "", number("lap_m", "m", "Length of a lap in lane 1")), within("1", "",
		number("lane", "", "Lane that is run in")), number("altitude_m", "m", "Altitude above sea level"),
}}

var blocks = Table{Name: "blocks", Title: "One block: a stretch in one shoe", Key: []string{"block"},
	References: ofShoes("shoe"), Fields: append([]Field{
		always(word("block", "Name of the block in its session")),
		word("shoe", "Id from shoes.csv"),
		within("0", "", number("start_s", "s", "Start on the session's clock")),
		within("0", "", number("end_s", "s", "End on the session's clock")),
		word("target",
			"Target where it differs from the session's: W, bpm, or a pace in min:s per km"),
		within("0", "", number("distance_m", "m", "Distance measured on the ground, not by a sensor")),
		within("0", "", number("laps", "laps", "Laps of the venue")),
		word("sensor", "Which sensor was on the shoe, where there are several"),
		within("0", "10", number("rpe", "points of 10", "Perceived exertion: 0 none, 10 all-out")),
		within("0", "100", number("comfort_mm", "mm", "Comfort on a line of 100 mm (visual analogue scale): 0 worst, "+
			"100 best")),
		yesNo("include", "Whether the block is included; blank is yes"),
		word("reason", "Why it is excluded"),
		word("note", "Anything else"),
	}, byHand()...)}

// byHand are the block means that a person may write into blocks.csv.
func byHand() (fields []Field) {
	for m := range trial.MeasureCount {
		info := m.Outcome().Info()
		fields = append(fields,
			within("0", "", number(info.Column, info.Unit, "Mean "+info.Label+" of the block, typed in")))
	}
	return fields
}

var recording = Table{Name: "recording", Title: "One sample of one device", Fields: append([]Field{
	always(number(trial.ElapsedColumn, "s",
		"Time on the device's clock; times may repeat where the device repeated them")),
}, channels()...)}

func channels() (fields []Field) {
	for c := range trial.ChannelCount {
		info := c.Info()
		fields = append(fields, number(info.Column, info.Unit, "Recorded "+info.Label))
	}
	return fields
}
