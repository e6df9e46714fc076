package forecast

// Row is the forecast for one shoe, race and cost-to-speed curve.
type Row struct {
	Shoe, Reference string
	DistanceM       float64
	BaseTimeS       float64 // in the reference shoe
	ChangeS         float64 // time in Shoe minus BaseTimeS; negative is faster
	LowS, HighS     float64 // interval of ChangeS, carried from the effect; missing when that has none
	// DayLowS and DayHighS are the interval on one day to come.
	DayLowS, DayHighS float64
	Curve             string
	Extrapolated      []string // what lies outside the evidence; empty when nothing is
}
