package plan

import (
	"slices"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
)

// Differences are the true differences that advice is about, percent.
var Differences = []float64{1, 2, 3}

// mostShoes is how many shoes one session is planned for, MostBlocks how many blocks
// simulations start from: more take minutes, and are an answer themselves.
const mostShoes, MostBlocks = 6, 2000

// Advice is what further sessions can be expected to do for an answer.
type Advice struct {
	Effort  trial.Effort
	Outcome trial.Outcome
	Shoes   []string // of the sessions to come
	Blocks  int      // of a session
	Status  string   // of the answer so far; "" without one
	Outlook Outlook
	Chances []Chance        // none where there are more blocks so far than [MostBlocks]
	Least   *randomise.Pair // the two shoes compared least at the effort; nil where none is less so
	Aim     string          // whether what plans decided about stopping was kept; "" where none did

	asked   []string       // the shoes that the question is about; none for those of the answer
	decided *answer.Effort // what there is so far
	group   *answer.Group
}

// AdviceFor starts from the answer so far at an effort. The shoes of the sessions to come are
// those asked for, else those of the answer, best first, else those of the register.
func AdviceFor(ds *trial.Dataset, answers *answer.Answers, effort trial.Effort, shoes []string) Advice {
	adv := Advice{Effort: effort, Shoes: shoes, asked: shoes}
	if adv.decided = answers.Find(effort); adv.decided != nil {
		adv.group = adv.decided.Main()
	}
	if g := adv.group; g != nil {
		adv.Outcome, adv.Status = adv.decided.Outcome, string(g.Status)
		adv.Aim, _ = adv.decided.Stopping(ds, g)
		for i := 0; i < len(g.Places) && i < mostShoes && len(shoes) == 0; i++ {
			adv.Shoes = append(adv.Shoes, g.Places[i].Shoe)
		}
		return adv
	}
	// Nothing was run: what decides at the effort, and the shoes there are.
	adv.Outcome = trial.PrimaryFor(effort)
	for i := 0; i < len(ds.Shoes) && i < mostShoes && len(shoes) == 0; i++ {
		adv.Shoes = append(adv.Shoes, ds.Shoes[i].ID)
	}
	if len(adv.Shoes) < 2 && len(shoes) == 0 {
		adv.Shoes = []string{"one shoe", "another"}
	}
	return adv
}

// Simulate looks ahead: sessions like the one that w describes, whose shoes and effort are
// those of the advice, each with an order drawn as [New] draws it. The error names what cannot
// be planned or take part.
func (adv *Advice) Simulate(ds *trial.Dataset, w Request, workers int) error {
	err := adv.lookAhead(ds, w)
	if err == nil && len(adv.Outlook.Blocks) <= MostBlocks {
		adv.Chances, err = adv.Outlook.Chances(Differences, workers)
	}
	return err
}

// lookAhead fills in what is simulated, and where the next session would tell most.
func (adv *Advice) lookAhead(ds *trial.Dataset, w Request) error {
	w.Shoes, w.Effort = adv.Shoes, adv.Effort
	adv.Blocks = w.Blocks
	adv.Outlook = Outlook{Shoes: adv.Shoes, SpacingH: (w.BlockS + w.RestS) / 3600, Seed: w.Seed}
	for n := range SessionsAhead[len(SessionsAhead)-1] {
		w.Seed = adv.Outlook.Seed + uint64(n)
		facts, _, err := New(ds, w)
		if err != nil {
			return err
		}
		adv.Outlook.Orders = append(adv.Outlook.Orders, facts.Order)
	}
	if err := adv.assume(ds); err != nil {
		return err
	}
	orders := previousOrders(ds, "", w.Runner, adv.Effort, adv.Shoes)
	if pairs := randomise.Pairs(adv.Shoes, orders); len(orders) > 0 && len(pairs) > 1 {
		adv.Least = &pairs[0]
	}
	return nil
}

// assume fills in what is known and assumed of the blocks and the sensor.
func (adv *Advice) assume(ds *trial.Dataset) error {
	adv.Outlook.SensorSD = map[string]float64{}
	if adv.group == nil {
		settings, err := decide.SettingsOf(ds.Facts.Method, adv.Effort, adv.Outcome)
		if err != nil {
			return err
		}
		adv.Outlook.Settings = settings
		// As sensors on the shoe, until recordings say otherwise.
		sensing := decide.Sensing{Held: adv.Effort, Compared: adv.Outcome, PowerOnShoe: true,
			ByShoe: ds.Facts.Method.SensorByShoePct / 100, ExponentMean: settings.Prior.Exponent.Mean}
		var run []decide.SensedBlock
		for _, shoe := range adv.Shoes {
			run = append(run, decide.SensedBlock{Block: decide.Block{Shoe: shoe}})
		}
		sensor := sensing.Errors(adv.Shoes, run, decide.SharedUnknown)
		for j, shoe := range adv.Shoes {
			adv.Outlook.SensorSD[shoe] = sensor.SD[j]
		}
		return nil
	}
	e := adv.decided
	adv.Outlook.Settings, adv.Outlook.Blocks = e.Settings, e.Model()
	if len(adv.asked) > 0 { // the question is about these shoes only
		adv.Outlook.Blocks = slices.DeleteFunc(adv.Outlook.Blocks,
			func(b decide.Block) bool { return !slices.Contains(adv.asked, b.Shoe) })
	}
	for _, shoe := range adv.Shoes {
		adv.Outlook.SensorSD[shoe] = e.Sensing.ByShoe
		if j := e.Posterior.Shoe(shoe); j >= 0 && len(e.Sensor.SD) > j {
			adv.Outlook.SensorSD[shoe] = e.Sensor.SD[j]
		}
	}
	return nil
}

// TooWidePct is the half of an interval beyond which no answer can be hoped for: racing shoes
// rarely differ by more at one effort (published differences in energy cost reach about 4 %;
// from memory, common practice).
const TooWidePct = 4

// Expectation is what a planned session can be expected to show, with those so far.
type Expectation struct {
	Outlook      Outlook
	HalfWidthPct float64 // half of the 95 % interval of a difference
	Sessions     int     // so far, at the effort
}

// Expect looks ahead to a planned session, with everything that was run so far. It is not ok
// where nothing can be expected: there is no order, or there are more blocks so far than
// [MostBlocks].
func Expect(ds *trial.Dataset, answers *answer.Answers, facts *trial.PlanFacts) (x Expectation, ok bool) {
	adv := AdviceFor(ds, answers, trial.Effort(facts.Effort), facts.Shoes)
	if adv.group != nil {
		x.Sessions = adv.decided.Sessions
	}
	adv.Outlook = Outlook{Shoes: facts.Shoes, Orders: [][]string{facts.Order},
		SpacingH: (facts.BlockS + facts.RestS) / 3600, Seed: 1}
	if len(facts.Order) == 0 || adv.assume(ds) != nil || len(adv.Outlook.Blocks) > MostBlocks {
		return x, false
	}
	var err error
	x.Outlook = adv.Outlook
	x.HalfWidthPct, err = x.Outlook.HalfWidth()
	return x, err == nil
}
