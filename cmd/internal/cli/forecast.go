package cli

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/report"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/english"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// forecastOptions are the flags of forecast.
type forecastOptions struct {
	distance, from, time, runner, shoe, surface string
	climb                                       float64 // metres
}

// raceSurfaces are the grounds a race may be on.
var raceSurfaces = []string{"road", "track", "trail"}

func (a *app) forecastCommand() *cobra.Command {
	var o forecastOptions
	c := &cobra.Command{
		Use: "forecast --distance DISTANCE --time TIME", Args: cobra.NoArgs,
		Short: "say what the shoes may be worth over a race",
		Long: "forecast says what a difference in speed may be worth over a race. It uses several\n" +
			"published curves of energy cost against speed, so the answer is a range. Give the time\n" +
			"that you expect in the reference shoe. With --from, give your time in another race:\n" +
			"Riegel's formula converts it.",
		Example: "  soletrial forecast --distance marathon --time 3:05:00\n" +
			"  soletrial forecast --distance half --time 38:30 --from 10km --shoe fennock",
		RunE: func(*cobra.Command, []string) error { return a.forecast(o) },
	}
	f := c.Flags()
	f.StringVar(&o.distance, "distance", "", "the `distance`: 1500, mile, 3000, 5km, 10km, half, marathon, 50km, "+
		"100km, or your own such as 15km, 10mi or 8000 (metres)")
	f.StringVar(&o.time, "time", "", "the `time` expected in the reference shoe, such as 3:30:00")
	f.StringVar(&o.from, "from", "", "if --time is from another race, the `distance` of that race")
	f.StringVar(&o.runner, "runner", "", "this runner's own estimate, by `id`")
	f.StringVar(&o.shoe, "shoe", "", "only this shoe, by `id`")
	f.StringVar(&o.surface, "surface", "road", "the ground of the race: road, track or trail")
	f.Float64Var(&o.climb, "climb", 0, "`metres` of climb over the race, with as much descent; says what they cost")
	return c
}

func (a *app) forecast(o forecastOptions) error {
	asked, err := o.race()
	if err != nil {
		return err
	}
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	if asked.Outlooks, err = o.outlooks(result, asked.Race); err != nil {
		return err
	}
	if a.JSON {
		return a.PrintJSON(report.ForecastAsJSON(result, asked))
	}
	report.PrintForecast(&a.Console, result, asked)
	return nil
}

// race reads the flags that describe it.
func (o *forecastOptions) race() (report.Forecast, error) {
	r := report.Forecast{FromM: units.Missing, FromS: units.Missing, Surface: o.surface, ClimbM: o.climb,
		Runner: o.runner}
	// The race, or one over another distance from which its time follows.
	if o.distance == "" || o.time == "" {
		return r, voice.Usage("such as `soletrial forecast --distance marathon --time 3:30:00`",
			"a forecast needs --distance and --time")
	}
	var err error
	if r.Race.DistanceM, err = forecast.ParseDistance(o.distance); err != nil {
		return r, misread("--distance", err)
	}
	if r.Race.TimeS, err = units.ParseDuration(o.time); err != nil {
		return r, misread("--time", err)
	}
	over := r.Race.DistanceM
	if o.from != "" {
		if over, err = forecast.ParseDistance(o.from); err != nil {
			return r, misread("--from", err)
		}
		r.FromM, r.FromS = over, r.Race.TimeS
		r.Race.TimeS = forecast.Riegel(r.FromS, over, r.Race.DistanceM)
	}
	// Refuse what nobody runs.
	if speed := over / o.seconds(r); !(speed >= slowestRun && speed <= fastestRun) {
		return r, voice.Usage("write the time as h:mm:ss or m:ss", "--time: %s in %s is not a running speed",
			forecast.DistanceText(over), o.time)
	}
	if !slices.Contains(raceSurfaces, o.surface) {
		return r, voice.Usage("write road, track or trail", "--surface: %q is not known", o.surface)
	}
	if o.climb < 0 || !units.Known(forecast.ClimbCostPct(o.climb, r.Race.DistanceM)) {
		return r, voice.Usage("write the metres of climb, such as 250", "--climb: %s m over %s is out of range",
			units.FormatDecimal(o.climb, 0), forecast.DistanceText(r.Race.DistanceM))
	}
	return r, nil
}

// seconds is the time as it was written, over the distance it is of.
func (o *forecastOptions) seconds(r report.Forecast) float64 {
	if units.Known(r.FromS) {
		return r.FromS
	}
	return r.Race.TimeS
}

// outlooks forecasts the race in every shoe that was asked for.
func (o *forecastOptions) outlooks(result *derive.Result, race forecast.Race) ([]report.Outlook, error) {
	ds := result.Dataset
	if err := o.known(ds); err != nil {
		return nil, err
	}
	var looks []report.Outlook
	sources := derive.Sources(result, o.runner)
	for _, s := range sources {
		if o.shoe == s.Reference {
			return nil, voice.Usage("name another shoe with --shoe, or omit it",
				"the time is already for %q, the reference shoe", o.shoe)
		}
		if o.shoe == "" || o.shoe == s.Shoe {
			looks = append(looks, o.outlook(ds, s, race))
		}
	}
	// Why there is nothing to forecast.
	switch {
	case len(sources) == 0 && o.runner != "":
		return nil, voice.Usage("a runner needs two shoes in one session at the same power or heart rate",
			"no difference in speed between two shoes is known for %q", o.runner)
	case len(sources) == 0:
		return nil, voice.Usage("run two shoes in one session at the same power or heart rate, with speed measured",
			"no difference in speed between two shoes is known yet")
	case len(looks) == 0:
		return nil, voice.Usage("see `soletrial compare`", "%q was not compared with %q", o.shoe, sources[0].Reference)
	}
	return looks, nil
}

// known refuses ids that the registers do not have.
func (o *forecastOptions) known(ds *trial.Dataset) error {
	var shoes, runners []string
	for i := range ds.Shoes {
		shoes = append(shoes, ds.Shoes[i].ID)
	}
	for i := range ds.Runners {
		runners = append(runners, ds.Runners[i].ID)
	}
	for _, asked := range []struct {
		flag, id string
		ids      []string
	}{{"--shoe", o.shoe, shoes}, {"--runner", o.runner, runners}} {
		if asked.id == "" || slices.Contains(asked.ids, asked.id) {
			continue
		}
		hint := english.Suggest(asked.id, asked.ids)
		if hint == "" {
			hint = "there are " + strings.Join(asked.ids, ", ")
		}
		return voice.Usage(hint, "%s: %q is not in the register", asked.flag, asked.id)
	}
	return nil
}

func (o *forecastOptions) outlook(ds *trial.Dataset, s derive.Source, race forecast.Race) report.Outlook {
	shoeG, referenceG := units.Missing, units.Missing
	if shoe := ds.Shoe(s.Shoe); shoe != nil {
		shoeG = shoe.MassG
	}
	if reference := ds.Shoe(s.Reference); reference != nil {
		referenceG = reference.MassG
	}
	look := report.Outlook{Source: s, Breakdown: forecast.BreakDown(s.Effect, race, shoeG, referenceG,
		ds.Facts.Method.WeightPctPer100g)}
	look.Outside = append(slices.Clone(look.Rows[0].Extrapolated), s.Setting(ds, o.surface).Outside()...)
	return look
}
