package flat

import (
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Column is a column of the table. Type is one of Table Schema: string, number, boolean or
// date (as text, year first).
type Column struct {
	Name, Type    string
	Unit, Meaning string
	Decimals      int // that a number is written with in text; [AllDigits] for as many as it has
	value         func(*Row) Value
}

// AllDigits is the number of decimals of a column that is written so that the same number is
// read back.
const AllDigits = -1

// Value is what stands in a cell: text and dates in Text, numbers in Number, yes and no in Yes.
type Value struct {
	Known  bool
	Text   string
	Number float64
	Yes    bool
}

// Value returns the column's value in a row.
func (c *Column) Value(r *Row) Value { return c.value(r) }

// Partitions is how many of the first columns say which recording a row is of: they are the
// same in all its rows.
const Partitions = 4

// Columns returns the columns in their order.
func Columns() []Column { return columns }

var columns = append(append([]Column{
	word("dataset", "Name of the dataset", func(r *Row) string { return r.of.Dataset }),
	word("runner", "Id from runners.csv", func(r *Row) string { return r.of.Session.Facts.Runner }),
	word("session", "Session id", func(r *Row) string { return r.of.Session.ID }),
	word("device", "Device that recorded it", func(r *Row) string { return r.of.Fact.Device }),
	word("recording", "File in the folder of the session", func(r *Row) string { return r.of.Fact.File }),
	{Name: "date", Type: "date", Meaning: "Local date of the session", value: func(r *Row) Value {
		return textValue(r.of.Session.Facts.Date)
	}},
	word("venue", "Id from venues.csv", func(r *Row) string { return r.of.Session.Facts.Venue }),
	word("effort", "What was held", func(r *Row) string { return r.of.Session.Facts.Effort }),
	number(trial.ElapsedColumn, "s", "Time on the device's clock", trial.ElapsedDecimals,
		func(r *Row) float64 { return r.of.recording.Samples.Elapsed[r.sample] }),
	number("session_s", "s", "Time on the clock of the session, which its devices share", trial.ElapsedDecimals,
		func(r *Row) float64 {
			return units.Round(r.of.recording.Samples.Elapsed[r.sample]+r.of.recording.Offset(),
				trial.ElapsedDecimals)
		}),
	word("block", "Name of the block in its session; blank between blocks", (*Row).Block),
	word("shoe", "Id from shoes.csv; blank between blocks", inBlock(func(r *Row) string {
		return r.of.derived[r.block].Shoe
	})),
	word("target", "Target of the block: W, bpm, or a pace in min:s per km", inBlock(func(r *Row) string {
		return trial.FormatTarget(r.of.Session.Effort(), r.of.derived[r.block].Target)
	})),
	{Name: "included", Type: "boolean", Meaning: "Whether the block is included in the comparison; blank between " +
		"blocks",
		value: func(r *Row) Value {
			if r.block < 0 {
				return Value{}
			}
			return Value{Known: true, Yes: r.of.derived[r.block].Included}
		}},
}, channelColumns()...), weightColumns()...)

// channelColumns are what the device recorded.
func channelColumns() (list []Column) {
	for c := range trial.ChannelCount {
		info := c.Info()
		list = append(list, number(info.Column, info.Unit, "Recorded "+info.Label, info.Decimals,
			func(r *Row) float64 {
				if values := r.of.recording.Samples.Values[c]; values != nil {
					return values[r.sample]
				}
				return units.Missing
			}))
	}
	return list
}

// weighted are the channels whose plain means are outcomes, and what their weights are called.
var weighted = []struct {
	channel trial.Channel
	name    string
}{
	{trial.PowerW, "power_weight_s"}, {trial.SpeedMps, "speed_weight_s"}, {trial.CadenceSpm, "cadence_weight_s"},
	{trial.StepLengthM, "step_length_weight_s"}, {trial.ContactMs, "contact_weight_s"},
	{trial.OscillationCm, "oscillation_weight_s"}, {trial.HeartRateBpm, "heart_rate_weight_s"},
}

func weightColumns() (list []Column) {
	for _, w := range weighted {
		list = append(list, number(w.name, "s", "Seconds that "+w.channel.Info().Column+
			" counts for in the mean of its block; blank where it does not count", AllDigits,
			func(r *Row) float64 { return r.weights[w.channel] }))
	}
	return list
}

func textValue(text string) Value { return Value{Known: text != "", Text: text} }

func word(name, meaning string, of func(*Row) string) Column {
	return Column{Name: name, Type: "string", Meaning: meaning, value: func(r *Row) Value { return textValue(of(r)) }}
}

func number(name, unit, meaning string, decimals int, of func(*Row) float64) Column {
	return Column{Name: name, Type: "number", Unit: unit, Meaning: meaning, Decimals: decimals,
		value: func(r *Row) Value {
			if x := of(r); units.Known(x) {
				return Value{Known: true, Number: x}
			}
			return Value{}
		}}
}

// inBlock leaves the rows between blocks blank.
func inBlock(of func(*Row) string) func(*Row) string {
	return func(r *Row) string {
		if r.block < 0 {
			return ""
		}
		return of(r)
	}
}
