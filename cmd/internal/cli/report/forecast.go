package report

import (
	"fmt"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/units"
)

// Forecast is a race as it was asked for, and what every shoe may be worth over it.
type Forecast struct {
	Race         forecast.Race
	FromM, FromS float64 // the race that its time is converted from; missing without one
	Surface      string
	ClimbM       float64
	Runner       string // whose own estimate; "" for all together
	Outlooks     []Outlook
}

// Outlook is one shoe's forecast with what it rests on, and what lies outside the evidence.
type Outlook struct {
	derive.Source
	forecast.Breakdown
	Outside []string
}

// PrintForecast prints the forecast of a race.
func PrintForecast(console *voice.Console, result *derive.Result, f Forecast) {
	PrintInvented(console, result.Dataset)
	label := compare.Labels(result.Dataset)
	reference := label(f.Outlooks[0].Reference)
	console.Printf("%s on %s, %s in %s\n", forecast.DistanceText(f.Race.DistanceM), f.Surface,
		units.FormatClock(f.Race.TimeS), reference)
	console.Printf("  %-14s %-10s %-17s %s %% interval\n", "shoe", "part", "change of time",
		units.FormatDecimal(100*result.Dataset.Facts.Method.Confidence, 0))
	for i := range f.Outlooks {
		printOutlook(console, &f.Outlooks[i], label, f.Surface)
	}
	console.Printf("\n")
	for _, sentence := range forecastNotes(result, f) {
		console.PrintHanging("", sentence)
	}
}

func printOutlook(console *voice.Console, look *Outlook, label func(string) string, surface string) {
	row := func(name, part string, r forecast.Range, interval string) {
		console.Printf("  %-14s %-10s %-17s %s\n", name, part, clockSpan(r.Min, r.Max, "not known"), interval)
	}
	row(voice.Shorten(label(look.Shoe), 14), "in all", look.Change, clockSpan(look.Change.Low, look.Change.High,
		"none"))
	if units.Known(look.Day.Low) {
		console.Printf("  %-14s %-10s %-17s %s\n", "", "on one day", "", clockSpan(look.Day.Low, look.Day.High, "none"))
	}
	if units.Known(look.Weight.Min) {
		row("", "by weight", look.Weight, clockSpan(look.Weight.Low, look.Weight.High, "")+" (published)")
		row("", "the rest", look.Rest, clockSpan(look.Rest.Low, look.Rest.High, "none"))
	} else {
		console.Printf("  %-14s %-10s %s\n", "", "by weight", "not known: a shoe was not weighed")
	}
	console.PrintHanging("                 ", "chance to be faster than "+label(look.Reference)+": "+
		answer.Chance(look.Chance))
	if len(look.Outside) > 0 {
		console.PrintHanging("                 ", "outside the evidence: "+
			strings.Join(forecast.OutsideWords(look.Outside, look.TestSpeed, look.Kinds, surface), "; "))
	}
}

// forecastNotes are the sentences under the table.
func forecastNotes(result *derive.Result, f Forecast) []string {
	var names []string
	for _, curve := range forecast.Curves {
		names = append(names, curve.Name)
	}
	first := &f.Outlooks[0]
	notes := []string{
		fmt.Sprintf("Ranges are over the published curves %s, from %s. Negative is less time.",
			strings.Join(names, ", "), basis(first.Source)),
		fmt.Sprintf("By weight: %s %% of energy per 100 g on each shoe, published range %s to %s %%, converted to "+
			"speed by the same curves. The rest is not explained by weight: foam, plate, fit, sensor or chance.",
			plainNumber(result.Dataset.Facts.Method.WeightPctPer100g), plainNumber(forecast.MinCostPer100g),
			plainNumber(forecast.MaxCostPer100g)),
	}
	// What this forecast rests on, and what it leaves out.
	if f.Runner != "" {
		notes = append(notes, fmt.Sprintf("These are the results of %s alone.", f.Runner))
	}
	if units.Known(first.LongestS) {
		notes = append(notes, fmt.Sprintf(
			"The longest block took %s. How a shoe does over %s was not tested.",
			units.FormatClock(first.LongestS), units.FormatClock(f.Race.TimeS)))
	}
	if units.Known(f.FromM) {
		notes = append(notes, riegelNote(f))
	}
	if f.ClimbM > 0 {
		notes = append(notes, fmt.Sprintf("%s m of climb and as much descent cost about %s %% more than level "+
			"ground (Minetti et al. 2002, half the way up, half down). Your time should include that. Whether "+
			"the shoes differ as much on hills was not tested.",
			units.FormatDecimal(f.ClimbM, 0), plainNumber(forecast.ClimbCostPct(f.ClimbM, f.Race.DistanceM))))
	}
	return notes
}

// basis says what the differences were measured in.
func basis(s derive.Source) string {
	if s.Indirect {
		return "heart rate at the same pace, turned into speed by an exponent (indirect)"
	}
	return "speed at the same " + strings.ReplaceAll(string(s.Effort), "_", " ")
}

func riegelNote(f Forecast) string {
	note := fmt.Sprintf("The time comes from %s in %s by Riegel's formula, T2 = T1 (D2/D1)^%s, which was published "+
		"for 3.5 to 230 minutes. Runners with little training are slower over a marathon.",
		forecast.DistanceText(f.FromM), units.FormatClock(f.FromS), plainNumber(forecast.RiegelExponent))
	if !forecast.RiegelHolds(f.FromS) || !forecast.RiegelHolds(f.Race.TimeS) {
		note += " This is outside that range."
	}
	return note
}

func plainNumber(x float64) string { return units.FormatSignificant(x, 3) }

// clockSpan writes a range of changes of time, "-4:35 to -4:20", or otherwise
// where it is missing.
func clockSpan(low, high float64, otherwise string) string {
	switch {
	case !units.Known(low) || !units.Known(high):
		return otherwise
	case signedClock(low) == signedClock(high):
		return signedClock(low)
	}
	return signedClock(low) + " to " + signedClock(high)
}

func signedClock(seconds float64) string {
	text := units.FormatClock(seconds)
	switch {
	case seconds >= 0.5:
		return "+" + text
	case seconds > -0.5:
		return strings.TrimPrefix(text, "-")
	}
	return text
}

type rangeJSON struct {
	Least *float64 `json:"least,omitempty"`
	Most  *float64 `json:"most,omitempty"`
	Low   *float64 `json:"low,omitempty"`
	High  *float64 `json:"high,omitempty"`
}

func asRange(r forecast.Range) rangeJSON {
	return rangeJSON{voice.JSONNumber(r.Min), voice.JSONNumber(r.Max), voice.JSONNumber(r.Low),
		voice.JSONNumber(r.High)}
}

func asPart(p forecast.Part) rangeJSON {
	value := voice.JSONNumber(p.Value)
	return rangeJSON{value, value, voice.JSONNumber(p.Low), voice.JSONNumber(p.High)}
}

// ForecastAsJSON is the forecast of a race for programs.
func ForecastAsJSON(result *derive.Result, f Forecast) any {
	shoes := []any{}
	for i := range f.Outlooks {
		look := &f.Outlooks[i]
		curves := []any{}
		for k, row := range look.Rows {
			curves = append(curves, map[string]any{"curve": row.Curve, "time_change_s": voice.JSONNumber(row.ChangeS),
				"low": voice.JSONNumber(row.LowS), "high": voice.JSONNumber(row.HighS),
				"by_weight_s": asPart(look.ByCurve[k].Expected), "rest_s": asPart(look.ByCurve[k].Rest)})
		}
		shoes = append(shoes, map[string]any{
			"shoe": look.Shoe, "reference": look.Reference, "indirect": look.Indirect,
			"chance_faster": voice.JSONNumber(look.Chance),
			"time_change_s": asRange(look.Change), "by_weight_s": asRange(look.Weight),
			"rest_s": asRange(look.Rest), "one_day_s": asRange(look.Day),
			"curves": curves, "outside": append([]string{}, look.Outside...), "effort": look.Effort,
			"sessions": look.Sessions, "blocks": look.Blocks,
			"longest_block_s": voice.JSONNumber(look.LongestS),
			"test_speed_mps":  voice.JSONNumber(look.TestSpeed),
		})
	}
	// How the base time was scaled from another distance.
	riegel := map[string]any(nil)
	if units.Known(f.FromM) {
		riegel = map[string]any{"from_m": f.FromM, "from_s": f.FromS, "exponent": forecast.RiegelExponent,
			"within_range": forecast.RiegelHolds(f.FromS) && forecast.RiegelHolds(f.Race.TimeS)}
	}
	return map[string]any{
		"invented": result.Dataset.Facts.Invented, "distance_m": f.Race.DistanceM, "base_time_s": f.Race.TimeS,
		"surface": f.Surface, "climb_m": f.ClimbM, "runner": f.Runner, "riegel": riegel,
		"shoes": shoes, "notes": forecastNotes(result, f),
	}
}
