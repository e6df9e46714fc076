package forecast

import (
	"math"

	"soletrial/pipeline/units"
)

// Curve is a published relation between steady speed and gross oxygen uptake.
type Curve struct {
	Name   string // as it stands in forecast.csv
	Title  string
	Source string
	cost   func(v float64) float64 // mL/kg/min at v m/s; increasing
}

// Curves are the curves of every forecast, in table order.
var Curves = []Curve{
	{
		Name: "kipp_2019", Title: "overground, with air resistance",
		Source: "Kipp, Kram & Hoogkamer 2019, Front Physiol 10:79, doi 10.3389/fphys.2019.00079 (coefficients from " +
			"memory; they reproduce the paper's worked example)",
		cost: func(v float64) float64 {
			return float64(0.02724*v*v*v) + float64(1.7321*v*v) + float64(0.4538*v) + 18.91
		},
	},
	{
		Name: "leger_mercier_1984", Title: "on a track",
		Source: "Leger & Mercier 1984, Sports Med 1:270, PMID 6390604",
		cost: func(v float64) float64 {
			kmh := float64(v * 3.6)
			return 2.209 + float64(3.163*kmh) + float64(0.000525542*kmh*kmh*kmh)
		},
	},
	{
		Name: "acsm_level", Title: "level running, straight line",
		Source: "American College of Sports Medicine, metabolic equation for running: 3.5 + 0.2 S, S in m/min",
		cost:   func(v float64) float64 { return 3.5 + float64(0.2*60*v) },
	},
}

// Saving returns the share of the cost that a gain in speed at equal metabolic
// rate implies: 1 - f(v)/f(v(1+gain)).
func (c Curve) Saving(v, gain float64) float64 { return 1 - c.cost(v)/c.cost(float64(v*(1+gain))) }

// Gain returns the gain in speed at v that a saving gives: v1/v - 1 where
// (1-saving) f(v1) = f(v). It is missing for a saving outside (-1, 1).
func (c Curve) Gain(v, saving float64) float64 {
	if !(saving > -1 && saving < 1) {
		return units.Missing
	}
	wanted := c.cost(v) / (1 - saving)
	low, high := 0.0, float64(2*v)
	for c.cost(high) < wanted {
		high = float64(high * 2)
	}
	for range 200 { // halving reaches neighbouring numbers long before
		middle := low + (high-low)/2
		if middle == low || middle == high {
			break
		}
		if c.cost(middle) < wanted {
			low = middle
		} else {
			high = middle
		}
	}
	return high/v - 1
}

// Transfer carries a gain measured at one speed to another: the saving that the
// gain implies at the test speed is turned back into a gain at the race speed.
func (c Curve) Transfer(gain, testSpeed, raceSpeed float64) float64 {
	if math.IsNaN(gain) || math.IsNaN(testSpeed) {
		return units.Missing
	}
	return c.Gain(raceSpeed, c.Saving(testSpeed, gain))
}
