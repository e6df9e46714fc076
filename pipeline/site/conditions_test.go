package site

import (
	"strings"
	"testing"

	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

func valueOf(facts []factLine, name string) string {
	for _, f := range facts {
		if f.Name == name {
			return f.Value
		}
	}
	return ""
}

// What conditions mean. 12.5 °C, 60 % and 1013.25 hPa give 1.2317 kg/m³ by the
// two-gas formula, 1.2322 with its 0.04 % to CIPM-2007; 23 °C of wet-bulb globe temperature lie in the band of the
// position stand of 2007 that begins at 22.3 °C.
func TestConditionsOfASession(t *testing.T) {
	f := newFixture()
	s := newSite(f.input())
	session := &s.ds.Sessions[0]
	facts := s.conditions(session)
	if got := valueOf(facts, "Air density"); got !=
		"1.232 kg/m³; the pressure is that of the standard atmosphere at this altitude" {
		t.Errorf("air density %q", got)
	}
	if got := valueOf(facts, "Wind over a lap"); !strings.HasPrefix(got, "may add 0.") ||
		!strings.HasSuffix(got, "it does not cancel") {
		t.Errorf("wind %q", got)
	}
	if got := valueOf(facts, "Heat"); got != "" {
		t.Errorf("heat %q where nobody measured it", got)
	}
	session.Facts.Conditions.WbgtC, session.Facts.Conditions.PressureHpa = 23, 1013.25
	facts = s.conditions(session)
	if got := valueOf(facts, "Heat"); !strings.HasPrefix(got, "risk is raised for everyone (a reference level, not a "+
		"clearance: local rules, event medics and licensed clinicians decide") {
		t.Errorf("heat %q", got)
	}
	if got := valueOf(facts, "Air density"); got != "1.232 kg/m³" {
		t.Errorf("air density %q", got)
	}
}

// Wind means nothing where no lap is run or nobody knows the runner's size.
func TestNoWindWords(t *testing.T) {
	for name, bend := range map[string]func(*trial.Dataset){
		"on a road":        func(ds *trial.Dataset) { ds.Venues[0].Kind = "road" },
		"without a height": func(ds *trial.Dataset) { ds.Runners[0].HeightCm = units.Missing },
		"in still air":     func(ds *trial.Dataset) { ds.Sessions[0].Facts.Conditions.WindMps = 0 },
		"in a storm":       func(ds *trial.Dataset) { ds.Sessions[0].Facts.Conditions.WindMps = 20 },
		"of no known air":  func(ds *trial.Dataset) { ds.Sessions[0].Facts.Conditions.AirC = units.Missing },
	} {
		f := newFixture()
		s := newSite(f.input())
		bend(s.ds)
		if got := s.windWords(&s.ds.Sessions[0]); got != "" {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// The checks of the sensor stand on the pages of sessions and shoes; in the fixture
// cadence times step length is 0.1 % above the speed.
func TestSensorTables(t *testing.T) {
	pages := built()["full"]
	for path, want := range map[string][]string{
		"sessions/s1.html": {"Sensor checks of this session", "cadence × step length over speed",
			`<td class="number" data-label="Ratio">1.0010</td>`},
		"shoes/kestrel.html": {"Could it be the sensor?",
			"Sensor checks of Kestrel Longford Distance over all sessions", "Could be sensor", "up to 0.0\u00a0%"},
		"method.html": {"The sensor is on trial too", "CIPM-2007", "Air, wind and heat", "recording-twice"},
	} {
		for _, text := range want {
			if !strings.Contains(pages[path], text) {
				t.Errorf("%s lacks %q", path, text)
			}
		}
	}
	for check, want := range map[string]string{
		sensor.Ground:                      "sensor distance over ground distance",
		"heart_rate_bpm watch/chest strap": "heart rate, watch over chest strap",
		"speed_mps a/b":                    "speed, a over b",
	} {
		if got := checkWords(check); got != want {
			t.Errorf("%s is %q, want %q", check, got, want)
		}
	}
}

// The factors are exact: 1 mile = 1609.344 m (NIST Special Publication 811, 2008,
// appendix B.8), °F = 1.8 °C + 32. 4:06 per km is 246 s x 1.609344 = 395.9 s.
func TestBothSystemsOfUnits(t *testing.T) {
	both := func(x float64, decimals int, unit string) string {
		value, other := bothUnits(x, decimals, unit)
		return value + "|" + other
	}
	paced := &trial.Session{Facts: trial.SessionFacts{Effort: "pace"},
		Blocks: []trial.Block{{Target: 246}, {Target: 246}}}
	for _, c := range []struct{ got, want string }{
		{both(7.5, 1, "°C"), "7.5 °C|45.5 °F"}, {both(-40, 1, "°C"), "-40 °C|-40 °F"},
		{both(10, 1, "m/s"), "10 m/s|22.4 mph"}, {both(405, 0, "km"), "405 km|252 mi"}, {both(71, 0, "%"), "71 %|"},
		{both(units.Missing, 1, "°C"), "|"}, {targetsOf(paced), "at 4:06 per km"}, {targetsPerMile(paced),
			"6:36 per mile"},
		{targetsPerMile(&trial.Session{Facts: trial.SessionFacts{Effort: "power"},
			Blocks: []trial.Block{{Target: 268}}}), ""},
	} {
		if strings.ReplaceAll(c.got, "\u2212", "-") != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
