package conditions

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soletrial/pipeline/units"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: %.8g, want %.8g", what, got, want)
	}
}

// Computed outside this module, with R, from the CIPM-2007 equation; no published
// worked density was found. The two-gas formula rho = (p - e)/(287.05 T) +
// e/(461.495 T) is the independent second opinion, within 0.05 %.
func TestAirDensity(t *testing.T) {
	for _, c := range []struct{ airC, pa, humidity, want, twoGas float64 }{
		{20, 101325, 0.5, 1.199314, 1.198879},
		{20, 101325, 0, 1.204557, math.NaN()},
		{15, 101325, 0, 1.225521, 1.225012},
		{0, 101325, 0, 1.293049, math.NaN()},
		{10, 101325, 0.6, 1.243810, 1.243223},
		{22, 100000, 0.5, 1.174833, math.NaN()},
		{30, 101325, 0.8, 1.150012, 1.149686},
	} {
		got := AirDensity(c.airC, c.pa, c.humidity)
		near(t, "density", got, c.want, 1e-6)
		if units.Known(c.twoGas) {
			near(t, "two-gas density", got, c.twoGas, 0.0005*c.twoGas)
		}
	}
	near(t, "saturation pressure at 20 °C", SaturationPressure(20), 2339.163, 1e-3)
	near(t, "compressibility", compressibility(20, 101325, 0.01158934), 0.99961477, 1e-8)
	near(t, "mole fraction", vapourFraction(20, 101325, 0.5), 0.01158934, 1e-8)
	// The short form of OIML R 111-1 (2004), from memory: (0.34848 p - 0.009 h
	// exp(0.061 t))/(273.15 + t) with p in hPa and h in percent gives 1.199294.
	near(t, "OIML short form", AirDensity(20, 101325, 0.5), 1.199294, 1e-4)
}

// Two other formulas for the saturation pressure over water, hPa: Magnus 6.112
// exp(17.62 t/(243.12 + t)), as public meteorological code has it, and Tetens 1930
// (from memory), 23.38205 at 20 °C. They are second opinions: within 0.5 and 0.1 %.
func TestSaturationPressure(t *testing.T) {
	for airC, hPa := range map[float64]float64{0: 6.11200, 10: 12.26030, 20: 23.32596, 30: 42.33724} {
		near(t, "Magnus as tabulated", 6.112*math.Exp(17.62*airC/(243.12+airC)), hPa, 1e-5)
		near(t, "Magnus", SaturationPressure(airC)/100, hPa, 0.005*hPa)
	}
	near(t, "Tetens", SaturationPressure(20)/100, 23.38205, 0.001*23.38205)
}

// ISO 2533 (from memory): 95460.8 Pa at 500 m, 89874.6 Pa at 1000 m.
func TestStandardPressure(t *testing.T) {
	near(t, "sea level", StandardPressure(0), 101325, 0)
	near(t, "500 m", StandardPressure(500), 95460.8, 0.05)
	near(t, "1000 m", StandardPressure(1000), 89874.6, 0.05)
}

func TestAirOf(t *testing.T) {
	m := units.Missing
	for _, c := range []struct {
		airC, humidity, hpa, altitude float64
		want                          float64
		assumed                       string
	}{
		{20, 50, 1013.25, m, 1.199314, ""},
		{20, 50, m, 0, 1.199314, "the pressure is that of the standard atmosphere at this altitude"},
		{20, 50, m, m, 1.199314, "the pressure is that of the standard atmosphere at sea level"},
		{20, m, 1013.25, m, 1.199314, "the humidity is taken as 50 %"},
		{20, m, m, m, 1.199314,
			"the pressure is that of the standard atmosphere at sea level; the humidity is taken as 50 %"},
	} {
		air := AirOf(c.airC, c.humidity, c.hpa, c.altitude)
		near(t, "density", air.Density, c.want, 1e-6)
		if air.Assumed != c.assumed {
			t.Errorf("assumed %q, want %q", air.Assumed, c.assumed)
		}
	}
	if air := AirOf(m, 50, 1013, 0); units.Known(air.Density) {
		t.Errorf("without a temperature the density is %v", air.Density)
	}
	// The claim of the docstring.
	for airC := -10.0; airC <= 30; airC++ {
		for _, humidity := range []float64{0, 1} {
			if off := AirDensity(airC, 101325, humidity)/AirDensity(airC, 101325, 0.5) - 1; math.Abs(off) > 0.009 {
				t.Errorf("humidity %v at %v °C changes density by %v", humidity, airC, off)
			}
		}
	}
}

// Worked outside this module from the formulas of Du Bois and of Pugh (from
// memory), and from 6.13 % of metabolic rate per 1 % of body weight.
func TestDrag(t *testing.T) {
	near(t, "surface of 175 cm, 65 kg", BodySurface(175, 65), 1.790841, 1e-5)
	near(t, "its frontal area", FrontalArea(175, 65), 0.476364, 1e-5)
	near(t, "surface of 180 cm, 75 kg", BodySurface(180, 75), 1.942406, 1e-5)
	near(t, "its frontal area", FrontalArea(180, 75), 0.516680, 1e-5)
	near(t, "drag", Drag(1.2, 0.9, 0.5, 5, 0), 6.75, 1e-12)
	near(t, "drag into 2 m/s", Drag(1.2, 0.9, 0.5, 5, 2), 13.23, 1e-12)
	for _, c := range []struct{ speed, force, cost float64 }{{4, 3.67372, 3.5317}, {5.5, 6.94562, 6.6771}} {
		force := Drag(1.205, 0.8, FrontalArea(175, 65), c.speed, 0)
		near(t, "drag", force, c.force, 1e-4)
		near(t, "cost", MetabolicPct(force, 65), c.cost, 1e-3)
	}
	// Pugh 1970 (abstract): about 8 % of the total at 21.5 km/h over 5000 m; da
	// Silva 2022: 8.52 % at the pace of a two-hour marathon. Davies 1980 found less.
	cost := StillAir(Runner{175, 65}, 1.205, 21.5/3.6)
	if !(cost.Low < 8.5 && cost.High > 7.5) {
		t.Errorf("at 21.5 km/h %+v, want a range that reaches about 8 %%", cost)
	}
}

// The closed form against the average over an oval walked in small steps. An
// out-and-back run has (v+w)² one way and (v-w)² the other: 20 for 4 and 2 m/s.
func TestWindDoesNotCancel(t *testing.T) {
	across, along := 0.0, 0.0
	const steps = 40000
	for i := range steps {
		angle := 2 * math.Pi * (float64(i) + 0.5) / steps
		bend := math.Pow(4+2*math.Cos(angle), 2)
		across += ((1-straightShare)*bend + straightShare*16) / steps
		along += ((1-straightShare)*bend + straightShare*20) / steps
	}
	low, high := LapSquare(4, 2)
	near(t, "wind across the straights", low, across, 1e-9)
	near(t, "wind along the straights", high, along, 1e-9)
	rapid.Check(t, func(t *rapid.T) {
		speed := rapid.Float64Range(2, 7).Draw(t, "speed")
		wind := rapid.Float64Range(0, 1).Draw(t, "share") * speed
		low, high := LapSquare(speed, wind)
		if !(low >= speed*speed && high >= low && high <= speed*speed+wind*wind) {
			t.Fatalf("%v m/s in %v m/s: %v to %v", speed, wind, low, high)
		}
		cost := LapWind(Runner{175, 65}, 1.2, speed, wind)
		if !(cost.Low >= 0 && cost.High >= cost.Low) {
			t.Fatalf("%v m/s in %v m/s costs %+v", speed, wind, cost)
		}
	})
	// 4 m/s in 2 m/s: 16 becomes 17.156 to 18.844; of 3.5317 % at Cd 0.8 that is
	// 7.23 %, at 0.9 of 3.9732 % it is 17.77 %.
	cost := LapWind(Runner{175, 65}, 1.205, 4, 2)
	near(t, "least", cost.Low, 0.25520, 1e-4)
	near(t, "most", cost.High, 0.70613, 1e-4)
	if cost := LapWind(Runner{175, 65}, 1.2, 3, 3.1); units.Known(cost.Low) || units.Known(cost.High) {
		t.Errorf("a wind faster than the runner: %+v", cost)
	}
	if cost := LapWind(Runner{175, 65}, 1.2, 3, units.Missing); units.Known(cost.Low) {
		t.Errorf("no wind was written down: %+v", cost)
	}
}

// The edges of the bands of the position stand of 2007.
func TestHeatBands(t *testing.T) {
	for _, c := range []struct {
		wbgt float64
		from float64
	}{
		{9, -273}, {18.3, -273}, {18.4, 18.4}, {22.2, 18.4}, {22.3, 22.3},
		{25.6, 22.3}, {25.7, 25.7}, {27.8, 25.7}, {27.9, 27.9}, {30, 27.9},
		{30.1, 30.1}, {32.2, 30.1}, {32.3, 32.3}, {40, 32.3},
	} {
		if band, ok := BandOf(c.wbgt); !ok || band.FromC != c.from || band.Meaning == "" {
			t.Errorf("%v °C: %+v", c.wbgt, band)
		}
	}
	if band, ok := BandOf(units.Missing); ok {
		t.Errorf("a missing temperature falls in %+v", band)
	}
	for i := 1; i < len(HeatBands); i++ {
		if !(HeatBands[i-1].FromC < HeatBands[i].FromC) {
			t.Errorf("band %d does not follow the one before", i)
		}
	}
}
