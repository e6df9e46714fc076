package cli

import (
	"fmt"
	"math"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// differences are what the table of advice is about, percent.
var differences = []float64{0.5, 1, 2, 3}

// mostSessions is how far advice looks ahead.
const mostSessions = 60

// advice is what is said about how much running an answer takes.
type advice struct {
	level      string // "" without results to go by
	outcome    trial.Outcome
	spread     plan.Spread
	each       int // blocks of each shoe in a session
	confidence float64
	worthwhile float64
	needed     []plan.SampleSize
	pairs      []pairAdvice
	least      randomise.Pair // of all shoes of the register, the two compared least at this effort
}

// pairAdvice is where one pair of shoes stands.
type pairAdvice struct {
	*compare.Comparison
	// Half the interval's width now, and expected after one more session; missing where
	// there is none.
	half, next float64
	sessions   int // in all, expected to reach the smallest difference that matters
}

func (a *app) advise(o planOptions) error {
	if o.sheet != "" || o.session != "" {
		return voice.Usage("leave -s and --sheet out", "--advise looks at the whole dataset and writes nothing")
	}
	_, result, err := a.derived()
	if err != nil {
		return err
	}
	adv := adviceFrom(result, o)
	if a.JSON {
		return a.PrintJSON(adv.json())
	}
	a.printAdvice(result, adv)
	return nil
}

// adviceFrom goes by the level with the most blocks, or the one asked for with
// --effort and --target.
func adviceFrom(result *derive.Result, o planOptions) advice {
	method := result.Dataset.Facts.Method
	adv := advice{spread: plan.Literature, each: 2, confidence: method.Confidence, worthwhile: method.WorthwhilePct}
	for _, r := range result.Compare.Rankings {
		if o.target == "" || r.Level == o.effort+" "+o.target {
			adv.level, adv.outcome = r.Level, r.Outcome
			break
		}
	}
	adv.own(result)
	adv.seldom(result.Dataset, o)
	if len(o.shoes) > 0 && o.blocks >= len(o.shoes) {
		adv.each = o.blocks / len(o.shoes)
	}
	adv.needed = adv.spread.Table(differences, adv.each, adv.confidence)
	for i := range adv.pairs {
		adv.pairs[i].expect(&adv)
	}
	return adv
}

// own takes the spread from the results of its level, as far as they hold it.
func (adv *advice) own(result *derive.Result) {
	blocks, sessions := 0, 0
	for i := range result.Compare.Comparisons {
		c := &result.Compare.Comparisons[i]
		if c.Level != adv.level || c.Outcome != adv.outcome {
			continue
		}
		adv.pairs = append(adv.pairs, pairAdvice{Comparison: c})
		blocks, sessions = blocks+c.Blocks, sessions+c.Sessions
		if !(c.ResidualSD > 0) || !c.Outcome.Info().Ratio || adv.spread.Own {
			continue
		}
		adv.spread.Own, adv.spread.BlockPct = true, 100*c.ResidualSD
		adv.spread.Source = "block to block from this dataset; session to session: " + plan.Literature.Source
		if units.Known(c.BetweenSD) {
			adv.spread.SessionPct, adv.spread.Source = 100*c.BetweenSD, "from this dataset"
		}
	}
	if sessions > 0 {
		adv.each = max(1, int(math.Round(float64(blocks)/float64(2*sessions))))
	}
}

// seldom finds the two shoes that have been compared least at the effort.
func (adv *advice) seldom(ds *trial.Dataset, o planOptions) {
	effort, _, _ := strings.Cut(adv.level, " ")
	if effort == "" {
		effort = o.effort
	}
	shoes := o.shoes
	if len(shoes) == 0 {
		for _, s := range ds.Shoes {
			shoes = append(shoes, s.ID)
		}
	}
	if pairs := randomise.Pairs(shoes, plan.PreviousOrders(ds, "", o.runner, trial.Effort(effort), shoes)); len(
		pairs) > 0 {
		adv.least = pairs[0]
	}
}

// expect looks ahead for one pair: an interval narrows as its expected width does.
func (p *pairAdvice) expect(adv *advice) {
	p.half, p.next = units.Missing, units.Missing
	now := adv.spread.HalfWidth(p.Sessions, adv.each, adv.confidence)
	p.next = adv.spread.HalfWidth(p.Sessions+1, adv.each, adv.confidence)
	reach := adv.worthwhile
	if units.Known(p.Low) {
		p.half = (p.High - p.Low) / 2
		if units.Known(now) {
			reach *= now / p.half
			p.next *= p.half / now
		}
	}
	p.sessions = max(p.Sessions, adv.spread.SessionsTo(reach, adv.each, adv.confidence, mostSessions))
}

func (a *app) printAdvice(result *derive.Result, adv advice) {
	if result.Dataset.Facts.Invented {
		a.Printf("invented data: a demonstration\n\n")
	}
	percent := func(x float64) string { return units.FormatDecimal(x, 2) + " %" }
	if adv.level != "" {
		a.Printf("%s %s\n", adv.outcome.Info().Label, compare.AtLevel(adv.level))
	}
	a.Printf("spread of a shoe   %s from block to block, %s from session to session\n",
		percent(adv.spread.BlockPct), percent(adv.spread.SessionPct))
	a.PrintHanging("  ", adv.spread.Source)
	a.Printf("\nto tell a difference apart, at power 80 / 90 %%, two-sided %s %%\n",
		units.FormatDecimal(100*(1-adv.confidence), 0))
	a.Printf("  difference   blocks of each shoe in one day   sessions of %s of each\n", units.Count(adv.each, "block"))
	for _, n := range adv.needed {
		a.Printf("  %-12s %-32s %s / %s\n", units.FormatDecimal(n.DifferencePct, 1)+" %",
			count(n.Pairs80)+" / "+count(n.Pairs90), count(n.Sessions80), count(n.Sessions90))
	}
	a.PrintHanging("  ", "(one day cannot show how a difference varies from day to day)")
	a.printPairs(result, adv)
	a.Printf("\n")
	a.PrintHanging("", plan.StopByPrecision)
}

func count(n float64) string {
	if math.IsInf(n, 0) || n > 9999 {
		return "over 9999"
	}
	return units.FormatDecimal(n, 0)
}

func (a *app) printPairs(result *derive.Result, adv advice) {
	if len(adv.pairs) == 0 {
		return
	}
	label := compare.Labels(result.Dataset)
	worthwhile := units.FormatDecimal(adv.worthwhile, 2)
	a.Printf("\nhalf the interval's width, and the sessions that bring it to %s %%\n", worthwhile)
	a.Printf("  %-25s %-9s %-9s %-16s %s\n", "shoe - reference", "sessions", "now", "with one more",
		"in all to "+worthwhile)
	for _, p := range adv.pairs {
		all := fmt.Sprintf("%d", p.sessions)
		switch {
		case p.sessions >= mostSessions:
			all = fmt.Sprintf("over %d", mostSessions)
		case p.half <= adv.worthwhile:
			all = "there already"
		}
		a.Printf("  %-25s %-9d %-9s %-16s %s\n", voice.Shorten(label(p.Shoe)+" - "+label(p.Reference), 25),
			p.Sessions, halfText(p.half), halfText(p.next), all)
	}
	a.PrintHanging("  ", "(expected from the spread above, each further session holding both shoes)")
	a.Printf("compared least so far: %s and %s\n", label(adv.least.A), label(adv.least.B))
}

func halfText(x float64) string {
	if !units.Known(x) {
		return "none"
	}
	return "±" + units.FormatDecimal(x, 2)
}

func (adv *advice) json() any {
	needed, pairs := []any{}, []any{}
	for _, n := range adv.needed {
		needed = append(needed, map[string]any{"difference_pct": n.DifferencePct, "pairs_80": finite(n.Pairs80),
			"pairs_90": finite(n.Pairs90), "sessions_80": finite(n.Sessions80), "sessions_90": finite(n.Sessions90)})
	}
	for _, p := range adv.pairs {
		pairs = append(pairs, map[string]any{"shoe": p.Shoe, "reference": p.Reference, "sessions": p.Sessions,
			"half_width_pct": voice.JSONNumber(p.half), "half_width_next_pct": voice.JSONNumber(
				p.next), "sessions_to_worthwhile": p.sessions})
	}
	return map[string]any{
		"level": adv.level, "block_sd_pct": adv.spread.BlockPct, "session_sd_pct": adv.spread.SessionPct,
		"own": adv.spread.Own, "source": adv.spread.Source,
		"blocks_each": adv.each, "compared_least": []string{adv.least.A, adv.least.B},
		"worthwhile_pct": adv.worthwhile, "needed": needed, "pairs": pairs, "stop": plan.StopByPrecision,
	}
}

// finite is a JSON number, or nothing where no number is enough.
func finite(x float64) *float64 {
	if math.IsInf(x, 0) {
		return nil
	}
	return voice.JSONNumber(x)
}
