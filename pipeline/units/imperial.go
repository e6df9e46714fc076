package units

// Exact factors besides those of [GramsPerOunce] and [MetresPerMile], from the
// international yard and pound agreement of 1959 as NIST Special Publication 811
// (2008), appendix B.8, lists them.
const (
	MetresPerFoot      = 0.3048
	CentimetresPerInch = 2.54
	KilogramsPerPound  = 0.45359237
	secondsPerHour     = 3600
)

// Conversion leads from a metric unit to the one that people who think in miles
// use. The zero value leaves a number as it is.
type Conversion struct {
	Unit        string
	times, plus float64
}

// imperial lists the conversions by metric unit.
var imperial = map[string]Conversion{
	"m/s":  {"mph", secondsPerHour / MetresPerMile, 0},
	"s/km": {"s/mile", MetresPerMile / 1000, 0},
	"1/km": {"1/mile", MetresPerMile / 1000, 0},
	"km":   {"mi", 1000 / MetresPerMile, 0},
	"m":    {"ft", 1 / MetresPerFoot, 0},
	"cm":   {"in", 1 / CentimetresPerInch, 0},
	"g":    {"oz", 1 / GramsPerOunce, 0},
	"kg":   {"lb", 1 / KilogramsPerPound, 0},
	"°C":   {"°F", 1.8, 32},
}

// Imperial returns the conversion of a metric unit; of one that is used everywhere,
// such as W or bpm, it changes nothing.
func Imperial(unit string) Conversion {
	if c, known := imperial[unit]; known {
		return c
	}
	return Conversion{Unit: unit}
}

// Of converts a number; a missing one stays missing.
func (c Conversion) Of(x float64) float64 {
	if c.times == 0 {
		return x
	}
	return float64(x*c.times) + c.plus
}
