package conditions

// HeatBand is one band of published heat guidance, in our own words. It is a
// reference level and no clearance.
type HeatBand struct {
	FromC   float64 // lowest wet-bulb globe temperature of the band
	Meaning string
}

// HeatBands are the levels of the position stand of the American College of Sports
// Medicine of 2007 for continuous activity and racing (as reproduced in
// doi 10.1186/s12199-017-0675-y, table 1), coolest first.
var HeatBands = []HeatBand{
	{-273, "generally safe, though exertional heat stroke can still happen"},
	{18.4, "risk begins to rise; people at high risk are watched or do not run"},
	{22.3, "risk is raised for everyone"},
	{25.7, "risk is high for anyone unfit or not used to heat"},
	{27.9, "races are cancelled at this level; hard running is limited even for the fit who are used to heat"},
	{30.1, "anyone not used to heat stops; others limit hard work and time in the heat"},
	{32.3, "everyone stops"},
}

// BandOf returns the band of a wet-bulb globe temperature in °C; ok is false when
// it is missing.
func BandOf(wbgtC float64) (band HeatBand, ok bool) {
	for _, b := range HeatBands {
		if wbgtC >= b.FromC {
			band, ok = b, true
		}
	}
	return band, ok
}

// HeatCaution is the sentence that stands beside every heat band.
const HeatCaution = "a reference level, not a clearance: local rules, event medics and licensed clinicians " +
	"decide. Weather reports can be 3 °C off, so measure at the track"
