package decide

// Evidence says how well a pair was tested. It follows from design and data, never from the
// size of the difference.
type Evidence string

// The grades of evidence.
const (
	NoEvidence Evidence = "none"
	Thin       Evidence = "thin"
	Fair       Evidence = "fair"
	Solid      Evidence = "solid"
)

// Testing is what the evidence for a pair is graded from.
type Testing struct {
	// Sessions counts those in which both shoes, or their links to each other, were run.
	Sessions int
	// Blocks counts the blocks of each shoe.
	Blocks [2]int
	// Repeated is true where some shoe was run twice in a session.
	Repeated bool
	// OrderTied counts the sessions in which a shoe's place in the order goes with time.
	OrderTied int
	// Planned is the share of the sessions whose planned order was followed.
	Planned float64
	// Ground is true where distance was measured on the ground in both shoes.
	Ground bool
	// Robust is the share of the analyses with the same leader, NaN where they were not made.
	Robust float64
	// Difference is the pair's, Worthwhile the smallest that matters as a logarithm.
	Difference Difference
	Worthwhile float64
	// AtPower is true where power was held: then Heart counts. Agrees is true where sessions at
	// the same pace or heart rate agree with the result, which counts as a passed check.
	AtPower, Agrees bool
	Heart           HeartCheck
}

// Need is what a grade asks for.
type Need int

// What grades ask for, in the order they are told.
const (
	NeedRepeat    Need = iota // a shoe run twice in a session, or a second session
	NeedSessions              // more sessions with both shoes
	NeedBlocks                // more blocks of each shoe that has too few
	NeedOrders                // orders that are not tied to time
	NeedHeart                 // heart rate that does not explain the result, or another effort that agrees
	NeedPlans                 // planned orders that are followed
	NeedGround                // distance on the ground in both shoes
	NeedRobust                // an answer that more of the analyses give
	NeedPrecision             // a narrower interval
)

// Lack is a need that is not met: what there is and what the next grade asks for. Shares
// and differences of logarithms are as they are in [Testing].
type Lack struct {
	Need       Need
	Have, Want float64
}

// The thresholds of the grades, engineering choices.
const (
	fairSessions, solidSessions = 2, 4
	fairBlocks, solidBlocks     = 4, 12
	tiedShare                   = 0.5
	plannedShare                = 0.75
	robustShare                 = 0.90
)

// Grade returns the grade of the evidence and what would raise it to the next.
func Grade(t Testing) (Evidence, []Lack) {
	if t.Sessions < fairSessions && !t.Repeated {
		return NoEvidence, []Lack{{NeedRepeat, float64(t.Sessions), fairSessions}}
	}
	if lacks := t.lacks(fairNeeds); len(lacks) > 0 {
		return Thin, lacks
	}
	if lacks := t.lacks(solidNeeds); len(lacks) > 0 {
		return Fair, lacks
	}
	return Solid, nil
}

// need is one line of a grade's table: what there is, what is asked for, and which is met.
type need struct {
	need Need
	have func(t Testing) float64
	want func(t Testing) float64
	met  func(t Testing, have, want float64) bool
}

func atLeast(_ Testing, have, want float64) bool { return have >= want }

func fixed(want float64) func(Testing) float64 { return func(Testing) float64 { return want } }

func sessions(t Testing) float64 { return float64(t.Sessions) }

func fewerBlocks(t Testing) float64 { return float64(min(t.Blocks[0], t.Blocks[1])) }

// fairNeeds is what fair evidence asks for.
var fairNeeds = []need{
	{NeedSessions, sessions, fixed(fairSessions), atLeast},
	{NeedBlocks, fewerBlocks, fixed(fairBlocks), atLeast},
	{NeedOrders, func(t Testing) float64 { return float64(t.OrderTied) },
		func(t Testing) float64 { return float64(tiedShare * float64(t.Sessions)) },
		func(_ Testing, have, want float64) bool { return have == 0 || have < want }},
	{NeedHeart, func(t Testing) float64 { return t.Heart.Chance }, fixed(apartChance),
		func(t Testing, _, _ float64) bool { return !t.AtPower || t.Agrees || t.Heart.Passed }},
}

// solidNeeds is what solid evidence asks for beside that.
var solidNeeds = []need{
	{NeedSessions, sessions, fixed(solidSessions), atLeast},
	{NeedBlocks, fewerBlocks, fixed(solidBlocks), atLeast},
	{NeedPlans, func(t Testing) float64 { return t.Planned }, fixed(plannedShare), atLeast},
	{NeedGround, func(t Testing) float64 { return 0 }, fixed(1),
		func(t Testing, _, _ float64) bool { return t.Ground }},
	{NeedRobust, func(t Testing) float64 { return t.Robust }, fixed(robustShare), atLeast},
	{NeedPrecision, Testing.halfWidth, func(t Testing) float64 { return t.Worthwhile }, precise},
}

func (t Testing) halfWidth() float64 { return (t.Difference.High - t.Difference.Low) / 2 }

// precise reports whether the interval is narrow, or clear of the worthwhile difference.
func precise(t Testing, half, worthwhile float64) bool {
	return half <= worthwhile || t.Difference.Low >= worthwhile || t.Difference.High <= -worthwhile
}

func (t Testing) lacks(needs []need) []Lack {
	var lacks []Lack
	for _, n := range needs {
		have, want := n.have(t), n.want(t)
		if !n.met(t, have, want) {
			lacks = append(lacks, Lack{n.need, have, want})
		}
	}
	return lacks
}
