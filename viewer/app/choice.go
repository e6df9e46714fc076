package app

import (
	"cmp"
	"slices"
	"sort"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Choice is what a reader has chosen. What is left empty or missing is as
// published. Session, Channels, Outcome and Imperial say what is shown, and how; the rest
// changes the analysis.
type Choice struct {
	Session     string
	Overlaid    []string        // more sessions whose traces are drawn over it, at most [MaxOverlaid]
	View        [2]float64      // stretch of the traces in view, seconds from block start; missing for all
	Channels    []trial.Channel // in channel order; nil for those that decide
	Outcome     string          // id; "" for the one that decides at each effort
	Effort      trial.Effort    // "" for all
	Comparisons bool            // the comparisons without assumptions are in sight
	Title       string          // what a link calls the view
	Trim        [TrimCount]float64
	Laps        string  // whether the steady window is whole laps: [trial.WholeLaps] or [Seconds]
	Drift       string  // how a drift is modelled
	Exponent    float64 // of the adjustment to equal effort
	Reference   string
	Blocks      []BlockChoice // sorted; only blocks that are otherwise than published
	Imperial    bool          // shown in miles, feet and °F
}

// MaxOverlaid is how many sessions may be drawn over the one shown.
const MaxOverlaid = 3

// BlockChoice includes or excludes one block, against what was published, for a reason that
// the reader may have written down.
type BlockChoice struct {
	Session, Block string
	Included       bool
	Reason         string
}

// TrimPart is one of the three lengths that are cut off blocks.
type TrimPart int

// The parts of a trim.
const (
	TrimStart TrimPart = iota
	TrimEnd
	HeartRateTrimStart
	TrimCount
)

var trimKeys = [TrimCount]string{"head_s", "tail_s", "heart_rate_head_s"}

// Key returns the part's name as dataset.yaml writes it.
func (p TrimPart) Key() string { return trimKeys[p] }

// Of returns where a trim holds this part.
func (p TrimPart) Of(t *trial.Trim) *float64 {
	return [TrimCount]*float64{&t.HeadS, &t.TailS, &t.HeartRateHeadS}[p]
}

func trimPartNamed(key string) (TrimPart, bool) {
	p := slices.Index(trimKeys[:], key)
	return TrimPart(max(p, 0)), p >= 0
}

// Seconds is the value of Choice.Laps for a steady window that is cut by seconds alone.
const Seconds = "seconds"

// AsPublished is the choice of nothing.
func AsPublished() Choice {
	m := units.Missing
	return Choice{Trim: [TrimCount]float64{m, m, m}, View: [2]float64{m, m}, Exponent: m}
}

// Changed reports whether c changes the analysis, and not only what is shown.
func (c Choice) Changed() bool {
	for _, seconds := range c.Trim {
		if units.Known(seconds) {
			return true
		}
	}
	return c.Reference != "" || c.Laps != "" || c.Drift != "" || units.Known(c.Exponent) || len(c.Blocks) > 0
}

// sameAnalysis reports whether two choices change the same about the analysis.
func (c Choice) sameAnalysis(d Choice) bool {
	c.Session, c.Overlaid, c.View, c.Channels = d.Session, d.Overlaid, d.View, d.Channels
	c.Effort, c.Comparisons, c.Imperial, c.Title = d.Effort, d.Comparisons, d.Imperial, d.Title
	return c.Equal(d)
}

// Equal reports whether two choices are the same.
func (c Choice) Equal(d Choice) bool { return c.Fragment() == d.Fragment() }

// withBlock returns c with one block included, excluded, or as published.
func (c Choice) withBlock(f BlockChoice, published bool) Choice {
	same := func(old BlockChoice) bool { return old.Session == f.Session && old.Block == f.Block }
	c.Blocks = slices.DeleteFunc(slices.Clone(c.Blocks), same)
	if f.Included != published {
		c.Blocks = append(c.Blocks, f)
	}
	sortBlockChoices(c.Blocks)
	return c
}

// sortBlockChoices sorts choices in the order in which they are written.
func sortBlockChoices(choices []BlockChoice) {
	sort.Slice(choices, func(i, j int) bool {
		a, b := choices[i], choices[j]
		return cmp.Or(cmp.Compare(a.Session, b.Session), cmp.Compare(a.Block, b.Block)) < 0
	})
}

// withChannel returns the list with one channel in or out, in channel order.
func withChannel(list []trial.Channel, one trial.Channel, in bool) []trial.Channel {
	var channels []trial.Channel
	for c := range trial.ChannelCount {
		if c == one && in || c != one && slices.Contains(list, c) {
			channels = append(channels, c)
		}
	}
	return channels
}

// BlockChoice returns what c says about a block, nil when that is as published.
func (c Choice) BlockChoice(session, block string) *BlockChoice {
	for i := range c.Blocks {
		if f := &c.Blocks[i]; f.Session == session && f.Block == block {
			return f
		}
	}
	return nil
}
