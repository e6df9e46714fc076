package conditions

import (
	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// kelvin is the temperature of 0 °C.
const kelvin = 273.15

// carbonDioxide is the mole fraction that density assumes, that of the CIPM-2007
// reference air.
const carbonDioxide = 0.0004

// AirDensity returns the density of moist air, kg/m³, from temperature (°C),
// pressure (Pa) and relative humidity (0 to 1), by the CIPM-2007 equation (Picard,
// Davis, Gläser & Fujii 2008, Metrologia 45:149, doi 10.1088/0026-1394/45/2/004;
// coefficients as in independent public implementations). It is meant for 600 to
// 1100 hPa and 15 to 27 °C (from memory); outside it is good enough for a runner.
// Missing in, missing out.
func AirDensity(airC, pressurePa, humidity float64) float64 {
	const (
		molarGas = 8.314472
		vapour   = 18.01528e-3
		dry      = (28.96546 + 12.011*(carbonDioxide-0.0004)) * 1e-3
	)
	t, p := airC+kelvin, pressurePa
	x := vapourFraction(airC, p, humidity)
	z := compressibility(airC, p, x)
	return float64(p * dry / (z * molarGas * t) * (1 - float64(x*(1-vapour/dry))))
}

// SaturationPressure returns the pressure of saturated water vapour, Pa, at a
// temperature in °C (CIPM-2007).
func SaturationPressure(airC float64) float64 {
	t := airC + kelvin
	return stats.Exp(float64(1.2378847e-5*t*t) - float64(1.9121316e-2*t) + 33.93711047 - 6343.1645/t)
}

// vapourFraction returns the mole fraction of water vapour.
func vapourFraction(airC, p, humidity float64) float64 {
	enhancement := 1.00062 + float64(3.14e-8*p) + float64(5.6e-7*airC*airC)
	return humidity * enhancement * SaturationPressure(airC) / p
}

// compressibility returns the factor Z by which moist air departs from an ideal
// gas.
func compressibility(airC, p, x float64) float64 {
	square := float64(x * x)
	a := 1.58123e-6 - float64(2.9331e-8*airC) + float64(1.1043e-10*airC*airC)
	b := float64((5.707e-6 - float64(2.051e-8*airC)) * x)
	c := float64((1.9898e-4 - float64(2.376e-6*airC)) * square)
	r := p / (airC + kelvin)
	return 1 - float64(r*(a+b+c)) + float64(r*r*(1.83e-11-float64(0.765e-8*square)))
}

// StandardPressure returns the pressure of the standard atmosphere, Pa, at an
// altitude in metres (ISO 2533, formula from memory).
func StandardPressure(altitudeM float64) float64 {
	return float64(101325 * stats.Pow(1-float64(2.25577e-5*altitudeM), 5.25588))
}

// Air is the air of a session.
type Air struct {
	Density  float64 // kg/m³; missing without a temperature
	Assumed  string  // in words, what was taken for granted; "" when nothing was
	Pressure float64 // Pa
}

// AirOf returns the air at a temperature (°C), relative humidity (percent),
// pressure (hPa) and altitude (m). A missing pressure is that of the standard
// atmosphere at the altitude, or at sea level; a missing humidity is 50 %, which
// is at most 0.9 % of density away from any other up to 30 °C.
func AirOf(airC, humidityPct, pressureHpa, altitudeM float64) Air {
	air := Air{Pressure: float64(pressureHpa * 100)}
	if !units.Known(pressureHpa) {
		air.Assumed = "the pressure is that of the standard atmosphere at this altitude"
		if !units.Known(altitudeM) {
			altitudeM, air.Assumed = 0, "the pressure is that of the standard atmosphere at sea level"
		}
		air.Pressure = StandardPressure(altitudeM)
	}
	if !units.Known(humidityPct) {
		humidityPct = 50
		if air.Assumed != "" {
			air.Assumed += "; "
		}
		air.Assumed += "the humidity is taken as 50 %"
	}
	air.Density = AirDensity(airC, air.Pressure, humidityPct/100)
	return air
}
