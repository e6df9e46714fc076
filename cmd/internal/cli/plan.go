package cli

import (
	"cmp"
	"crypto/rand"
	"encoding/binary"
	"fmt"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/report"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// planOptions are the flags of plan.
type planOptions struct {
	session, effort, target    string
	shoes                      []string
	block, rest, warmUp        string
	blocks, minutes            int
	seed                       int64
	start, date, runner, venue string
	sensor, sheet, workout     string
	advise, force              bool
	aimSessions                int
	aimWidth                   float64
	blockS, restS, warmUpS     float64 // read from the texts
}

// largestSeed is the largest whole number that plan.yaml holds exactly.
const largestSeed = 1<<53 - 1

func (a *app) planCommand() *cobra.Command {
	var o planOptions
	c := &cobra.Command{
		Use: "plan -s SESSION --shoes A,B --target TARGET", Args: cobra.NoArgs,
		Short: "draw a fair order for the next session, and print a field sheet",
		Long: "plan draws the order of the shoes by chance, from orders in which getting tired\n" +
			"affects all shoes alike. It also evens out the orders of earlier sessions. It writes\n" +
			"plan.yaml and session.yaml: commit them before the run. It prints a field sheet;\n" +
			"--sheet FILE writes the sheet as a page to print. With --advise it says how likely\n" +
			"more sessions give an answer, and writes nothing.",
		Example: "  soletrial plan -s 2026-05-09-power --shoes fennock,quenby --target 268\n" +
			"  soletrial plan -s 2026-05-09-power --shoes fennock,quenby --target 268 --sheet sheet.html\n" +
			"  soletrial plan --advise --shoes fennock,quenby --target 268",
		RunE: func(*cobra.Command, []string) error {
			if o.advise {
				return a.advise(o)
			}
			return a.exclusively("plan", func() error { return a.plan(o) })
		},
	}
	// The flags, in the order in which help lists them: what is run, for how long, when and by whom,
	// what is written, and when to stop.
	f := c.Flags()
	f.StringVarP(&o.session, "session", "s", "",
		"the `session`, such as 2026-05-02-power; its name begins with the date, or give --date")
	f.StringSliceVar(&o.shoes, "shoes", nil, "the `ids` of two to six shoes, separated by commas")
	f.StringVar(&o.effort, "effort", intake.DefaultEffort, "what is held: power, pace or heart_rate")
	f.StringVar(&o.target, "target", "", "the `target`: watts, m:ss per km, or bpm")
	f.StringVar(&o.block, "block", "6m", "the `length` of a block, such as 6m or 6:30")
	f.StringVar(&o.rest, "rest", "3m", "the `rest` between blocks")
	f.StringVar(&o.warmUp, "warm-up", "15m", "the `warm-up` before the first block")
	f.IntVar(&o.blocks, "blocks", 0, "how many blocks; by default eight for two shoes, else two of each")
	f.IntVar(&o.minutes, "minutes", 0, "as many blocks as fit into this many `minutes`, with warm-up and rests")
	f.Int64Var(&o.seed, "seed", -1, "the `seed` of the draw; by default one from the system, kept in plan.yaml")
	f.StringVar(&o.start, "start", "",
		"the local `time` at which the warm-up starts, HH:MM, for the sheet")
	f.StringVar(&o.date, "date", "", "the `day`, YYYY-MM-DD")
	f.StringVar(&o.runner, "runner", "", "the runner's `id`, where there are several")
	f.StringVar(&o.venue, "venue", "", "the venue's `id`")
	f.StringVar(&o.sensor, "sensor", "", "which sensor is worn and where, in `words`, for the sheet and session.yaml")
	f.StringVar(&o.sheet, "sheet", "", "write the field sheet as a page of HTML into this `file`, outside the dataset")
	f.StringVar(&o.workout, "workout", "",
		"write the session as a FIT workout for the watch into this `file`, outside the dataset")
	f.IntVar(&o.aimSessions, "aim-sessions", 0, "say in advance: stop after this many `sessions` at this effort")
	f.Float64Var(&o.aimWidth, "aim-width", 0, "say in advance: stop when the interval is this many `percent` wide")
	f.BoolVar(&o.advise, "advise", false, "say how likely more sessions give an answer, and write nothing")
	f.BoolVar(&o.force, "force", false, "replace a plan that has not been run yet")
	return c
}

func (a *app) plan(o planOptions) error {
	// What is asked for, and an order for it.
	folder, err := a.read()
	if err != nil {
		return err
	}
	ds := &folder.Dataset
	session, err := o.resolve(ds)
	if err != nil {
		return err
	}
	request := o.request()
	request.Session, request.Runner = session.ID, session.Facts.Runner
	facts, set, err := plan.New(ds, request)
	if err != nil {
		return voice.Usage("see `soletrial plan --help`", "%v", err)
	}
	session.Plan = facts
	if err := cmp.Or(a.checkOutside("--sheet", o.sheet), a.checkOutside("--workout", o.workout)); err != nil {
		return err
	}
	// What is written and printed.
	planned := report.Planned{Session: session, Venue: ds.Venue(session.Facts.Venue), Set: set,
		Sheet: plan.NewSheet(ds, session), Expected: a.expected(facts), Seed: o.seed, SheetFile: o.sheet,
		Workout: o.workout}
	if planned.Expected != nil && planned.Expected.Outlook.SameOutOfReach() {
		planned.Sheet.CountLaps()
	}
	if err := a.writePlan(ds, &planned); err != nil {
		return err
	}
	if a.JSON {
		return a.PrintJSON(report.PlannedAsJSON(planned))
	}
	report.PrintPlanned(&a.Console, planned)
	return nil
}

// expected is what a plan can be expected to show; nil where nothing can. A plan is no worse
// where the dataset cannot be derived yet.
func (a *app) expected(facts *trial.PlanFacts) *plan.Expectation {
	_, result, err := a.derived()
	if err != nil {
		return nil
	}
	x, ok := plan.Expect(result.Dataset, result.Answers, facts)
	if !ok {
		return nil
	}
	return &x
}

// writePlan writes plan.yaml and session.yaml where there is none, then the sheet and the
// workout, outside the dataset.
func (a *app) writePlan(ds *trial.Dataset, p *report.Planned) error {
	s := p.Session
	files := map[string][]byte{s.Folder() + "/plan.yaml": plaintext.AppendPlan(nil, s.Plan)}
	if ds.Session(s.ID) == nil {
		text, err := yamltext.NewSession(&s.Facts)
		if err != nil {
			return voice.Usage("", "cannot write session.yaml: %v", err)
		}
		files[s.Folder()+"/session.yaml"] = text
	}
	var err error
	if p.Changed, err = a.write(files); err != nil {
		return err
	}
	err = writeOutside(p.SheetFile, func() ([]byte, error) { return []byte(p.Sheet.HTML()), nil })
	if err == nil {
		err = writeOutside(p.Workout, func() ([]byte, error) { return workout(s, compare.Labels(ds)) })
	}
	if err != nil {
		a.Remark("the plan itself was written")
	}
	return err
}

// writeOutside writes a file outside the dataset; nothing for no path.
func writeOutside(path string, text func() ([]byte, error)) error {
	if path == "" {
		return nil
	}
	content, err := text()
	if err == nil {
		folder, name := filepath.Split(filepath.Clean(path))
		_, err = dataset.Write(filepath.Clean(folder), map[string][]byte{name: content}, nil)
	}
	return err
}

// request is the session to come, as far as the flags tell it.
func (o *planOptions) request() plan.Request {
	return plan.Request{Runner: o.runner, Shoes: o.shoes, Blocks: o.blocks, Effort: trial.Effort(o.effort),
		Target: o.target, Start: o.start, BlockS: o.blockS, RestS: o.restS, WarmUpS: o.warmUpS,
		Seed: uint64(o.seed), Aim: o.aim()}
}

// advise says what further sessions can be expected to do.
func (a *app) advise(o planOptions) error {
	if o.sheet != "" || o.workout != "" || o.session != "" {
		return voice.Usage("omit -s, --sheet and --workout", "--advise reads the whole dataset and writes nothing")
	}
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	ds := result.Dataset
	if len(o.shoes) > 0 {
		if err := o.checkShoes(ds); err != nil {
			return err
		}
	}
	// By default the effort of the headline, and its shoes.
	effort := trial.Effort(o.effort)
	if e, g := result.Answers.Top(); g != nil && o.target == "" && o.effort == intake.DefaultEffort {
		effort = e.Effort
	}
	adv := plan.AdviceFor(ds, result.Answers, effort, o.shoes)
	o.shoes = adv.Shoes
	if err := o.spans(); err != nil {
		return err
	}
	if err := o.count(); err != nil {
		return err
	}
	o.seed = max(o.seed, 1)
	if err := adv.Simulate(ds, o.request(), runtime.GOMAXPROCS(0)); err != nil {
		return voice.Usage("see `soletrial plan --help`", "%v", err)
	}
	if a.JSON {
		return a.PrintJSON(report.AdviceAsJSON(&adv))
	}
	report.PrintAdvice(&a.Console, ds, &adv)
	return nil
}

// resolve reads and checks what was asked for, and returns the session as far as
// it is known.
func (o *planOptions) resolve(ds *trial.Dataset) (*trial.Session, error) {
	if o.session == "" {
		return nil, voice.Usage("name the session by its day and what is held, such as -s 2026-05-02-power",
			"--session is missing")
	}
	if !intake.Nameable(o.session) {
		return nil, voice.Usage(
			"give it with -s: lower-case letters, digits, dots, dashes and underscores, such as 2026-05-02-power",
			"%q cannot name a session", o.session)
	}
	if err := o.checkShoes(ds); err != nil {
		return nil, err
	}
	if o.target == "" {
		return nil, voice.Usage("watts for power, m:ss per km for pace, beats per minute for heart_rate",
			"--target is missing")
	}
	// What is held, how long and how often, and by which draw.
	o.effort, o.target = intake.PlainTarget(o.effort, o.target)
	if err := intake.CheckEffort(o.effort, o.target); err != nil {
		return nil, err
	}
	if err := o.checkAim(); err != nil {
		return nil, err
	}
	if err := o.spans(); err != nil {
		return nil, err
	}
	if err := o.count(); err != nil {
		return nil, err
	}
	if err := o.draw(); err != nil {
		return nil, err
	}
	if o.start != "" && !clockTime.MatchString(o.start) {
		return nil, voice.Usage("write HH:MM, such as 09:30", "--start: %q is not a clock time", o.start)
	}
	asked := &trial.Session{ID: o.session}
	asked.Facts = trial.SessionFacts{Date: o.date, Runner: o.runner, Venue: o.venue, Effort: o.effort, Target: o.target}
	asked.Facts.Protocol = trial.Protocol{BlockS: o.blockS, RestS: o.restS, WarmUpS: o.warmUpS, Sensor: o.sensor}
	return intake.SessionToPlan(ds, asked, o.force)
}

// aim is what is decided about stopping.
func (o *planOptions) aim() trial.PlanAim {
	aim := trial.PlanAim{WidthPct: units.Missing, Sessions: units.Missing}
	if o.aimSessions > 0 {
		aim.Sessions = float64(o.aimSessions)
	}
	if o.aimWidth > 0 {
		aim.WidthPct = o.aimWidth
	}
	return aim
}

// checkAim refuses aims that plan.yaml would not hold.
func (o *planOptions) checkAim() error {
	switch {
	case o.aimSessions != 0 && o.aimWidth != 0:
		return voice.Usage("give one of the two", "--aim-sessions and --aim-width are two aims")
	case o.aimSessions < 0 || o.aimSessions > 1000:
		return voice.Usage("write a number from 1 to 1000", "--aim-sessions: %d is out of range", o.aimSessions)
	case o.aimWidth != 0 && !(o.aimWidth >= 0.1 && o.aimWidth <= 20):
		return voice.Usage("write percent from 0.1 to 20, such as 1.5", "--aim-width: %v is out of range", o.aimWidth)
	}
	return nil
}

func (o *planOptions) checkShoes(ds *trial.Dataset) error {
	if len(o.shoes) == 0 {
		return voice.Usage("give their ids from shoes.csv, such as --shoes grey,blue", "no shoes to plan for")
	}
	var known []string
	for _, s := range ds.Shoes {
		known = append(known, s.ID)
	}
	for _, id := range o.shoes {
		if slices.Contains(known, id) {
			continue
		}
		hint := english.Suggest(id, known)
		if hint == "" {
			hint = "add it to shoes.csv"
			if len(known) > 0 {
				hint += ", or name one of " + strings.Join(known, ", ")
			}
		}
		return voice.Usage(hint, "--shoes: %q is not in shoes.csv", id)
	}
	return nil
}

// spans reads the lengths of time.
func (o *planOptions) spans() error {
	for _, span := range []struct {
		flag, text string
		least      float64
		into       *float64
	}{{"block", o.block, 60, &o.blockS}, {"rest", o.rest, 0, &o.restS}, {"warm-up", o.warmUp, 0, &o.warmUpS}} {
		seconds, err := units.ParseDuration(span.text)
		if err != nil {
			return voice.Usage("write minutes and seconds, such as 6m, 90s or 6:30", "--%s: %v", span.flag, err)
		}
		if seconds < span.least || seconds > 4*3600 {
			return voice.Usage("a block takes a minute at least, and nothing takes longer than four hours",
				"--%s: %s is out of range", span.flag, span.text)
		}
		*span.into = seconds
	}
	return nil
}

// count fixes how many blocks there are.
func (o *planOptions) count() error {
	switch {
	case o.blocks < 0 || o.minutes < 0:
		return voice.Usage("write a number above 0", "--blocks and --minutes count from 1")
	case o.blocks > 0 && o.minutes > 0:
		return voice.Usage("give one of the two", "--blocks and --minutes both say how much")
	case o.minutes > 0:
		if o.blocks = plan.BlocksThatFit(float64(60*o.minutes), o.warmUpS, o.blockS, o.restS); o.blocks < len(o.shoes) {
			return voice.Usage("give more time, or shorten --warm-up, --block or --rest",
				"%s in %d minutes, for %s", units.Plural(o.blocks, "block fits",
					"blocks fit"), o.minutes, units.Count(len(o.shoes), "shoe"))
		}
		o.blocks -= o.blocks % len(o.shoes) // as many of each shoe
	case o.blocks == 0:
		o.blocks = max(8, 2*len(o.shoes))
		if len(o.shoes) > 2 {
			o.blocks = 2 * len(o.shoes)
		}
	}
	return nil
}

// draw fixes the seed.
func (o *planOptions) draw() error {
	if o.seed > largestSeed {
		return voice.Usage(fmt.Sprintf("write a whole number up to %d", int64(largestSeed)),
			"--seed: %d is out of range", o.seed)
	}
	if o.seed < 0 {
		var bytes [8]byte
		rand.Read(bytes[:]) // never fails
		o.seed = int64(binary.LittleEndian.Uint64(bytes[:]) >> 43)
	}
	return nil
}

var clockTime = regexp.MustCompile(`^([01]\d|2[0-3]):[0-5]\d$`)
