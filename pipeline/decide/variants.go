package decide

import (
	"slices"

	"soletrial/pipeline/parallel"
	"soletrial/pipeline/stats"
)

// Window is how the steady windows of the blocks are cut.
type Window string

// The windows of the robustness analyses, the published one first. Their seconds are the
// caller's.
const (
	PublishedWindow Window = "published"
	EarlierWindow   Window = "earlier"
	LaterWindow     Window = "later"
	ShorterWindow   Window = "shorter"
	LapsWindow      Window = "whole laps"
)

// Windows lists them.
var Windows = []Window{PublishedWindow, EarlierWindow, LaterWindow, ShorterWindow, LapsWindow}

// ExponentChoice is how the exponent of held effort is taken.
type ExponentChoice string

// The exponents: the prior itself, fixed at the ends of its middle 80 %, or no adjustment.
// For speed at the same power the ends are 0.71 and 1.09; published curves give 0.69 to 1.07.
const (
	MeanExponent ExponentChoice = "mean"
	LowExponent  ExponentChoice = "low"
	HighExponent ExponentChoice = "high"
	NoExponent   ExponentChoice = "none"
)

// ExponentChoices lists them.
var ExponentChoices = []ExponentChoice{MeanExponent, LowExponent, HighExponent, NoExponent}

// DriftNames names the drifts as tables write them.
var DriftNames = map[Drift]string{NoDrift: "none", StraightDrift: "straight", CurvedDrift: "curved"}

// drifts lists them in the order of the analyses.
var drifts = []Drift{NoDrift, StraightDrift, CurvedDrift}

// Variant is one analysis of the family that shows whether an answer is robust.
type Variant struct {
	Window   Window
	Drift    Drift
	Exponent ExponentChoice
	// LeftOut is what is left out, a session or a block of one; both "" for nothing.
	LeftOutSession, LeftOutBlock string
	Shared                       Shared
}

// BlockName names a block of a session.
type BlockName struct{ Session, Block string }

// maxLeftOut is how many analyses leave something out at most.
const maxLeftOut = 60

// Variants lists the family: windows x drifts x exponents crossed, the published analysis
// without one block after the other (without one session after the other where there are more
// than 60 blocks, and every so many sessions where there are more than 60 of them), and, where
// the power may share the sensor's error, with it shared wholly and not at all. The analysis
// without assumptions belongs to the family, too, and is made elsewhere.
//
// drift is the published drift; blocks are in the order in which they are left out.
func Variants(drift Drift, blocks []BlockName, mayShare bool) []Variant {
	published := Variant{Window: PublishedWindow, Drift: drift, Exponent: MeanExponent}
	var family []Variant
	for _, w := range Windows {
		for _, d := range drifts {
			for _, e := range ExponentChoices {
				family = append(family, Variant{Window: w, Drift: d, Exponent: e})
			}
		}
	}
	for _, out := range leftOut(blocks) {
		v := published
		v.LeftOutSession, v.LeftOutBlock = out.Session, out.Block
		family = append(family, v)
	}
	if mayShare {
		for _, s := range []Shared{SharedWholly, SharedNot} {
			v := published
			v.Shared = s
			family = append(family, v)
		}
	}
	return family
}

// leftOut returns what to leave out, one after the other.
func leftOut(blocks []BlockName) []BlockName {
	if len(blocks) <= maxLeftOut {
		return blocks
	}
	var sessions []BlockName
	seen := map[string]bool{}
	for _, b := range blocks {
		if !seen[b.Session] {
			seen[b.Session] = true
			sessions = append(sessions, BlockName{Session: b.Session})
		}
	}
	if len(sessions) <= maxLeftOut {
		return sessions
	}
	spread := make([]BlockName, maxLeftOut)
	for i := range spread {
		spread[i] = sessions[i*len(sessions)/maxLeftOut]
	}
	return spread
}

// LeavesOut reports whether the analysis leaves a block out.
func (v Variant) LeavesOut(b BlockName) bool {
	return v.LeftOutSession != "" && v.LeftOutSession == b.Session &&
		(v.LeftOutBlock == "" || v.LeftOutBlock == b.Block)
}

// Settings returns the settings of the analysis, from those published.
func (v Variant) Settings(published Settings) Settings {
	s := published
	s.Drift = v.Drift
	e := published.Prior.Exponent
	// Half of 80 % of a normal distribution lies within this many SD.
	end := float64(stats.NormalQuantile(0.9) * e.SD)
	switch v.Exponent {
	case LowExponent:
		s.Prior.Exponent = Exponent{Mean: e.Mean - end}
	case HighExponent:
		s.Prior.Exponent = Exponent{Mean: e.Mean + end}
	case NoExponent:
		s.Prior.Exponent = Exponent{}
	}
	return s
}

// Analysis is what one variant comes to in one group of shoes: the leader against the second.
type Analysis struct {
	Variant       Variant
	Status        Status
	Leader        string
	Second        string
	Lead          Difference
	ChanceLeading float64
}

// Around is what the analyses around a published posterior are made from.
type Around struct {
	Published *Posterior
	Shoe      string // of the group that they are about
	// Of returns the blocks of a variant, corrected for the sensor and without what is left out, and
	// the sensor's errors for the shoes of a posterior.
	Of func(v Variant) (blocks []Block, sensor func(shoes []string) Sensor)
	// Step is called after each analysis.
	Step func()
}

// Analyse makes the analyses of a group. A variant in which nothing can be compared is left out, such
// as a window that leaves nothing. They are made as [Coarse], on the grid of the published posterior
// where there are many blocks. Workers changes no number.
func Analyse(family []Variant, around Around, workers int) []Analysis {
	made := parallel.Map(workers, len(family), func(i int) []Analysis {
		defer around.Step()
		return around.analyse(family[i])
	})
	return slices.Concat(made...)
}

// analyse makes one analysis; none where nothing can be compared.
func (a *Around) analyse(v Variant) []Analysis {
	blocks, sensor := a.Of(v)
	if len(blocks) == 0 {
		return nil
	}
	settings, place := v.Settings(a.Published.settings), a.Published.placeFor(blocks)
	p, err := fitModel(blocks, settings, Coarse, false, place)
	if err != nil {
		return nil
	}
	j := p.Shoe(a.Shoe)
	if j < 0 {
		return nil
	}
	answer, ok := p.Answer(p.group[j], sensor(p.Shoes))
	if !ok {
		return nil
	}
	return []Analysis{{v, answer.Status, p.Shoes[answer.Leader], p.Shoes[answer.Second], answer.Lead,
		answer.Best[answer.Leader]}}
}

// placeFor is where the grid of spreads lies, for blocks with the same runners and where there are
// many of them; else nil.
func (p *Posterior) placeFor(blocks []Block) *gridPlace {
	if p.place == nil || !p.place.scaled {
		return nil
	}
	return p.placeNear(blocks)
}

// placeNear is where the grid of spreads lies, for blocks with the same runners; else nil. So it is of
// no posterior.
func (p *Posterior) placeNear(blocks []Block) *gridPlace {
	if p == nil || len(blocks) == 0 {
		return nil
	}
	several := slices.ContainsFunc(blocks, func(b Block) bool { return b.Runner != blocks[0].Runner })
	if several != p.Terms.Runner {
		return nil
	}
	return p.place
}

// SameLeader counts the analyses with the given leader.
func SameLeader(rows []Analysis, leader string) int {
	n := 0
	for _, r := range rows {
		if r.Leader == leader {
			n++
		}
	}
	return n
}
