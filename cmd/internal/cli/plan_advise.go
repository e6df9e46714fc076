package cli

import (
	"fmt"
	"runtime"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// differences are the true differences that advice is about, percent.
var differences = []float64{1, 2, 3}

// maxPlannedShoes is how many shoes one session is planned for, maxBlocks how many blocks
// simulations start from: more take minutes, and are an answer themselves.
const maxPlannedShoes, maxBlocks = 6, 2000

// advice is what further sessions can be expected to do.
type advice struct {
	effort  trial.Effort
	outcome trial.Outcome
	shoes   []string
	blocks  int    // of a session
	status  string // of the answer now; "" without one
	outlook plan.Outlook
	chances []plan.Chance
	least   *randomise.Pair // the two shoes compared least at this effort
	aim     string
}

func (a *app) advise(o planOptions) error {
	if o.sheet != "" || o.session != "" {
		return voice.Usage("omit -s and --sheet", "--advise looks at the whole dataset and writes nothing")
	}
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	adv, err := adviceFrom(result, o)
	if err != nil {
		return err
	}
	if a.JSON {
		return a.PrintJSON(adv.json())
	}
	a.printAdvice(result, adv)
	return nil
}

// adviceFrom goes by the answer of the headline, or by the effort asked for.
func adviceFrom(result *derive.Result, o planOptions) (advice, error) {
	ds := result.Dataset
	if len(o.shoes) > 0 {
		if err := o.checkShoes(ds); err != nil {
			return advice{}, err
		}
	}
	adv := advice{effort: trial.Effort(o.effort)}
	e, g := result.Answers.Top()
	if o.target != "" || o.effort != intake.DefaultEffort || g == nil {
		if e, g = result.Answers.Find(adv.effort), nil; e != nil {
			g = e.Main()
		}
	}
	if err := adv.fillIn(ds, o, e, g); err != nil {
		return advice{}, err
	}
	adv.compareLeast(ds, o)
	adv.sayAim(ds, e, g)
	var err error
	if len(adv.outlook.Blocks) <= maxBlocks {
		adv.chances, err = adv.outlook.Chances(differences, runtime.GOMAXPROCS(0))
	}
	return adv, err
}

// fillIn completes what the sessions to come are simulated from.
func (adv *advice) fillIn(ds *trial.Dataset, o planOptions, e *answer.Effort, g *answer.Group) error {
	adv.outcome = trial.PrimaryFor(adv.effort)
	adv.shoes = o.shoes
	if g != nil {
		adv.effort, adv.outcome, adv.status = e.Effort, e.Outcome, string(g.Status)
		for i := 0; i < len(g.Places) && i < maxPlannedShoes && len(o.shoes) == 0; i++ {
			adv.shoes = append(adv.shoes, g.Places[i].Shoe)
		}
	}
	for i := 0; i < len(ds.Shoes) && i < maxPlannedShoes && g == nil && len(o.shoes) == 0; i++ {
		adv.shoes = append(adv.shoes, ds.Shoes[i].ID)
	}
	if len(adv.shoes) < 2 {
		adv.shoes = []string{"one shoe", "another"}
	}
	// The order of every session, drawn as plan would draw it.
	asked := o
	o.shoes = adv.shoes
	if err := o.spans(); err != nil {
		return err
	}
	if err := o.count(); err != nil {
		return err
	}
	adv.blocks = o.blocks
	adv.outlook = plan.Outlook{Shoes: adv.shoes, SpacingH: (o.blockS + o.restS) / 3600, Seed: uint64(max(o.seed, 1))}
	for n := range plan.SessionsAhead[len(plan.SessionsAhead)-1] {
		facts, _, err := plan.New(ds, plan.Request{Runner: o.runner, Shoes: adv.shoes, Blocks: o.blocks,
			Effort: adv.effort, BlockS: o.blockS, RestS: o.restS, Seed: adv.outlook.Seed + uint64(n)})
		if err != nil {
			return voice.Usage("see `soletrial plan --help`", "%v", err)
		}
		adv.outlook.Orders = append(adv.outlook.Orders, facts.Order)
	}
	return adv.assume(ds, asked, e, g)
}

// assume fills in what is known and assumed of the blocks and the sensor.
func (adv *advice) assume(ds *trial.Dataset, o planOptions, e *answer.Effort, g *answer.Group) error {
	adv.outlook.SensorSD = map[string]float64{}
	if g == nil {
		settings, err := decide.SettingsOf(ds.Facts.Method, adv.effort, adv.outcome)
		if err != nil {
			return err
		}
		adv.outlook.Settings = settings
		// As sensors on the shoe, until recordings say otherwise.
		sensing := decide.Sensing{Held: adv.effort, Compared: adv.outcome, PowerOnShoe: true,
			ByShoe: ds.Facts.Method.SensorByShoePct / 100, ExponentMean: settings.Prior.Exponent.Mean}
		var run []decide.SensedBlock
		for _, shoe := range adv.shoes {
			run = append(run, decide.SensedBlock{Block: decide.Block{Shoe: shoe}})
		}
		sensor := sensing.Errors(adv.shoes, run, decide.SharedUnknown)
		for j, shoe := range adv.shoes {
			adv.outlook.SensorSD[shoe] = sensor.SD[j]
		}
		return nil
	}
	adv.outlook.Settings, adv.outlook.Blocks = e.Settings, e.Model()
	if len(o.shoes) > 0 { // the question is about these shoes only
		adv.outlook.Blocks = slices.DeleteFunc(adv.outlook.Blocks,
			func(b decide.Block) bool { return !slices.Contains(o.shoes, b.Shoe) })
	}
	for _, shoe := range adv.shoes {
		adv.outlook.SensorSD[shoe] = e.Sensing.ByShoe
		if j := e.Posterior.Shoe(shoe); j >= 0 && len(e.Sensor.SD) > j {
			adv.outlook.SensorSD[shoe] = e.Sensor.SD[j]
		}
	}
	return nil
}

// compareLeast finds the two shoes that have been compared least at the effort.
func (adv *advice) compareLeast(ds *trial.Dataset, o planOptions) {
	orders := plan.PreviousOrders(ds, "", o.runner, adv.effort, adv.shoes)
	if pairs := randomise.Pairs(adv.shoes, orders); len(orders) > 0 && len(pairs) > 1 {
		adv.least = &pairs[0]
	}
}

// sayAim says whether what plans decided about stopping was kept.
func (adv *advice) sayAim(ds *trial.Dataset, e *answer.Effort, g *answer.Group) {
	if g == nil {
		return
	}
	adv.aim, _ = e.Stopping(ds, g)
}

func (a *app) printAdvice(result *derive.Result, adv advice) {
	if result.Dataset.Facts.Invented {
		a.Printf("invented data: a demonstration\n\n")
	}
	label := compare.Labels(result.Dataset)
	var names []string
	for _, shoe := range adv.shoes {
		names = append(names, label(shoe))
	}
	now := "nothing run yet"
	if adv.status != "" {
		now = "the answer now: " + adv.status
	}
	a.Printf("%s at held %s, %s\n", adv.outcome.Info().Label, adv.effort.Name(), now)
	a.PrintHanging("  ", "sessions of "+units.Count(adv.blocks, "block")+": "+strings.Join(names, ", "))
	if len(adv.chances) == 0 {
		a.PrintHanging("",
			fmt.Sprintf("With more than %d blocks another session changes little: nothing was simulated.", maxBlocks))
	} else {
		a.printChances(adv)
	}
	for _, sentence := range adv.notes(label) {
		a.PrintHanging("", sentence)
	}
}

// printChances prints a row for each difference, a column for each number of sessions.
func (a *app) printChances(adv advice) {
	a.Printf("\nchance of an answer (one fastest shoe, or practically the same)\n")
	line := fmt.Sprintf("  %-24s", "if the leader is")
	for _, n := range plan.SessionsAhead {
		line += fmt.Sprintf(" %-9s", fmt.Sprint(n)+" more")
	}
	a.Printf("%s\n", strings.TrimRight(line, " "))
	for _, pct := range differences {
		line = fmt.Sprintf("  %-24s", units.FormatDecimal(pct, 0)+" % ahead of the others")
		for _, c := range adv.chances {
			if c.DifferencePct == pct {
				line += fmt.Sprintf(" %-9s", units.FormatDecimal(100*c.Answered(), 0)+" %")
			}
		}
		a.Printf("%s\n", strings.TrimRight(line, " "))
	}
	a.Printf("\n")
}

// notes are the sentences under the chances.
func (adv *advice) notes(label func(string) string) []string {
	var notes []string
	if len(adv.chances) > 0 {
		most := 0.0
		for _, c := range adv.chances {
			most = max(most, c.Error)
		}
		notes = append(notes, fmt.Sprintf("Each chance is from %d simulated trials, with this program's rule, seed "+
			"%d and the data so far. Its standard error is %s points at most.", plan.Simulations, adv.outlook.Seed,
			units.FormatDecimal(100*most, 1)))
	}
	if slices.ContainsFunc(adv.chances, func(c plan.Chance) bool { return c.Levelled }) {
		notes = append(notes, "Another session does not make an answer less likely. Where a simulated chance falls "+
			"all the same, by its own error, the table repeats the one before.")
	}
	// What no further session can change, and what one could be used for.
	if adv.outlook.SameOutOfReach() {
		notes = append(notes, "No number of sessions can show shoes to be practically the same here: the sensor may "+
			"read differently in each. Count laps (or measure metres) in every block.")
	}
	if adv.least != nil {
		notes = append(notes, "Compared least so far: "+label(adv.least.A)+" and "+label(adv.least.B)+".")
	}
	if adv.aim != "" {
		notes = append(notes, adv.aim)
	}
	return append(notes, plan.StopByPrecision)
}

func (adv *advice) json() any {
	chances := []any{}
	for _, c := range adv.chances {
		chances = append(chances, map[string]any{"difference_pct": c.DifferencePct, "sessions": c.Sessions,
			"chance_fastest": c.Fastest, "chance_same": c.Same, "chance_answered": c.Answered(), "error": c.Error,
			"levelled": c.Levelled})
	}
	least := []string{}
	if adv.least != nil {
		least = append(least, adv.least.A, adv.least.B)
	}
	return map[string]any{"effort": adv.effort, "outcome": adv.outcome.Info().ID, "status": adv.status,
		"shoes": adv.shoes, "blocks": adv.blocks, "simulations": plan.Simulations, "seed": adv.outlook.Seed,
		"chances": chances, "same_out_of_reach": adv.outlook.SameOutOfReach(), "compared_least": least,
		"aim": adv.aim, "stop": plan.StopByPrecision}
}
