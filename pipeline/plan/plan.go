package plan

import (
	"slices"
	"strings"

	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Request is what a session is to be.
type Request struct {
	Session       string // its id
	Runner        string
	Shoes         []string
	Blocks        int
	Effort        trial.Effort
	Target, Start string
	BlockS, RestS float64
	WarmUpS       float64 // missing where none is planned
	Seed          uint64
	Aim           trial.PlanAim // 0 or missing numbers where none is decided
	Rule          randomise.Rule
}

// New draws an order and writes down how. The sessions of the same runner at the
// same effort are examined, run or planned.
func New(ds *trial.Dataset, w Request) (*trial.PlanFacts, *randomise.Set, error) {
	earlier := previousOrders(ds, w.Session, w.Runner, w.Effort, w.Shoes)
	design, err := randomise.New(w.Shoes, w.Blocks, earlier, w.Seed)
	if err != nil {
		return nil, nil, err
	}
	design.Rule = w.Rule
	set := design.Set()
	place := design.Choose(&set)
	how := trial.PlanDraw{Seed: float64(w.Seed), Place: float64(place + 1), Orders: float64(len(set.Orders)),
		Considered: float64(set.Considered), Candidates: set.Candidates()}
	for _, order := range earlier {
		how.Earlier = append(how.Earlier, strings.Join(order, " "))
	}
	facts := &trial.PlanFacts{
		Shoes: design.Shoes, Order: design.Names(set.Orders[place]), Effort: string(w.Effort), Target: w.Target,
		BlockS: w.BlockS, RestS: w.RestS,
		WarmUpS: w.WarmUpS, Start: w.Start, Draw: how, Rules: ds.RulesOf(w.Effort), Aim: decidedAim(w.Aim),
	}
	return facts, &set, nil
}

// decidedAim makes what is not decided missing.
func decidedAim(aim trial.PlanAim) trial.PlanAim {
	if !(aim.Sessions > 0) {
		aim.Sessions = units.Missing
	}
	if !(aim.WidthPct > 0) {
		aim.WidthPct = units.Missing
	}
	return aim
}

// previousOrders lists the shoes of the blocks of each session of a runner at an effort,
// in their order: as run, or as planned where nothing has been run yet. The
// session itself is left out, and so are sessions with fewer than two of the
// shoes, which say nothing about them.
func previousOrders(ds *trial.Dataset, session, runner string, effort trial.Effort, shoes []string) [][]string {
	var list [][]string
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.ID == session || s.Effort() != effort || runner != "" && s.Facts.Runner != runner {
			continue
		}
		order := s.ShoesRun()
		if order == nil && s.Plan != nil {
			order = s.Plan.Order
		}
		seen := slices.DeleteFunc(slices.Compact(slices.Sorted(slices.Values(order))),
			func(shoe string) bool { return !slices.Contains(shoes, shoe) })
		if len(seen) >= 2 {
			list = append(list, order)
		}
	}
	return list
}

// BlocksThatFit returns how many blocks fit into a time in seconds that starts with the
// warm-up and ends with a block.
func BlocksThatFit(seconds, warmUpS, blockS, restS float64) int {
	if left := seconds - warmUpS + restS; left > 0 && blockS+restS > 0 {
		return int(left / (blockS + restS))
	}
	return 0
}
