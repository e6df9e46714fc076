package cli

import (
	"path/filepath"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/fieldnotes"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/units"
)

// maxLogBytes is how large a field log may be; one of a day has a few thousand.
const maxLogBytes = 4 << 20

// noteFlags are the flags that note something.
var noteFlags = []string{"rpe", "comfort", "laps", "distance", "note", "exclude", "weight", "air-c", "humidity-pct",
	"wind-mps", "sky", "surface", "sensor", "deviation"}

func (a *app) logCommand() *cobra.Command {
	var session string
	n := fieldnotes.Notes{Conditions: fieldnotes.NoConditions()}
	c := &cobra.Command{
		Use: "log [-s SESSION] [fieldlog.yaml]", Args: cobra.MaximumNArgs(1),
		Short: "write down what was noted on the day",
		Long: "log writes what was noted on the day into a session: exertion, comfort, laps,\n" +
			"weather, deviations and the weight of the shoes. It reads the file of the track page\n" +
			"or takes flags. With neither it asks, on a terminal. A list has one value for each\n" +
			"included block in the order of the run, and - where nothing was noted.",
		Example: "  soletrial log fieldlog.yaml\n" +
			"  soletrial log -s 2026-04-04-treadmill --rpe 5,5,6,6 --weight fennock=213/215 --air-c 12\n" +
			"  soletrial log -s 2026-04-04-treadmill --exclude 3='shoelace open' --deviation 'block 4 came late'",
		RunE: func(c *cobra.Command, args []string) error {
			noted := len(args) > 0
			for _, name := range noteFlags {
				noted = noted || c.Flags().Changed(name)
			}
			return a.log(session, n, args, noted)
		},
	}
	f := c.Flags()
	f.StringVarP(&session, "session", "s", "", "the `session`, such as 2026-05-02-power")
	f.StringSliceVar(&n.RPE, "rpe", nil, "exertion of every block: 0 none, 10 all-out")
	f.StringSliceVar(&n.Comfort, "comfort", nil, "comfort of every block: 0 worst, 100 best")
	f.StringSliceVar(&n.Laps, "laps", nil, "laps of every block, with a fraction")
	f.StringSliceVar(&n.Distances, "distance", nil, "metres of every block, measured on the ground")
	f.StringArrayVar(&n.Blocks, "note", nil, "a note on a block: `BLOCK=TEXT`")
	f.StringArrayVar(&n.Excluded, "exclude", nil, "exclude a block: `BLOCK=REASON`")
	f.StringArrayVar(&n.Weights, "weight", nil,
		"what a shoe weighs: `SHOE=LEFT/RIGHT` in grams; the mean goes into shoes.csv")
	f.Float64Var(&n.Conditions.AirC, "air-c", units.Missing, "air temperature, °C")
	f.Float64Var(&n.Conditions.HumidityPct, "humidity-pct", units.Missing, "relative humidity, percent")
	f.Float64Var(&n.Conditions.WindMps, "wind-mps", units.Missing, "wind speed, m/s")
	f.StringVar(&n.Conditions.Sky, "sky", "", "sun, cloud, rain")
	f.StringVar(&n.Conditions.Surface, "surface", "", "dry, damp, wet; soft, hard")
	f.StringVar(&n.Sensor, "sensor", "", "where the sensor was worn, and whether it moved between shoes")
	f.StringArrayVar(&n.Deviations, "deviation", nil, "what was not as planned, in words")
	for _, name := range []string{"air-c", "humidity-pct", "wind-mps"} {
		f.Lookup(name).DefValue = "0" // a missing number, of which help is silent
	}
	return c
}

func (a *app) log(session string, n fieldnotes.Notes, args []string, noted bool) error {
	// What is noted: a file, flags, or answers.
	if len(args) == 1 {
		text, err := dataset.ReadOutside(args[0], maxLogBytes)
		if err != nil {
			return err
		}
		n.Log, n.LogName = text, filepath.Base(args[0])
	} else if session == "" {
		return voice.Usage("name the session with -s, or give a fieldlog.yaml", "no session was named")
	}
	if !noted {
		if !a.interactive() {
			return voice.Usage("give what was noted with flags (soletrial log --help), or a fieldlog.yaml",
				"nothing was noted")
		}
		folder, err := a.read()
		if err != nil {
			return err
		}
		a.askNotes(folder.Dataset.Session(session), &n)
	}
	return a.exclusively("log", func() error { return a.writeNotes(session, n) })
}

// writeNotes writes what comes of notes.
func (a *app) writeNotes(session string, n fieldnotes.Notes) error {
	fsys, err := a.openDataset()
	if err != nil {
		return err
	}
	folder, err := a.read()
	if err != nil {
		return err
	}
	result, err := fieldnotes.Apply(fsys, folder, session, n)
	if err != nil {
		return err
	}
	for _, remark := range result.Remarks {
		a.Remark("%s", remark)
	}
	changed, err := a.write(result.Files)
	if err != nil {
		return err
	}
	return a.PrintWritten(changed, "nothing changed: the session says all this already")
}
