package app

import (
	"cmp"
	"slices"
	"sort"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Choice is what a reader has chosen. What is left empty or missing is as
// published. Session, Channels, Outcome and Imperial say what is looked at, and how; the rest
// changes the analysis.
type Choice struct {
	Session   string
	Beside    []string        // more sessions whose traces are laid over it, at most [MostBeside]
	View      [2]float64      // stretch of the traces in view, seconds from block start; missing for all
	Channels  []trial.Channel // in channel order; nil for those that decide
	Outcome   string          // id; "" for the one that decides at each level
	Level     string          // "" for all
	Trim      [TrimCount]float64
	Drift     string  // how a drift is modelled
	Exponent  float64 // of the adjustment to equal effort
	Reference string
	Flips     []Flip // sorted; only blocks that are otherwise than published
	Imperial  bool   // shown in miles, feet and °F
}

// MostBeside is how many sessions may be laid over the one looked at.
const MostBeside = 3

// Flip puts one block in or out, against what was published, for a reason that
// the reader may have written down.
type Flip struct {
	Session, Block string
	In             bool
	Reason         string
}

// TrimPart is one of the three lengths that are cut off blocks.
type TrimPart int

// The parts of a trim.
const (
	Head TrimPart = iota
	Tail
	HeartRateHead
	TrimCount
)

var trimKeys = [TrimCount]string{"head_s", "tail_s", "heart_rate_head_s"}

// Key returns the part's name as dataset.yaml writes it.
func (p TrimPart) Key() string { return trimKeys[p] }

// Of returns where a trim holds this part.
func (p TrimPart) Of(t *trial.Trim) *float64 {
	return [TrimCount]*float64{&t.HeadS, &t.TailS, &t.HeartRateHeadS}[p]
}

func trimNamed(key string) (TrimPart, bool) {
	p := slices.Index(trimKeys[:], key)
	return TrimPart(max(p, 0)), p >= 0
}

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
	return c.Reference != "" || c.Drift != "" || units.Known(c.Exponent) || len(c.Flips) > 0
}

// Equal reports whether two choices are the same.
func (c Choice) Equal(d Choice) bool { return c.Fragment() == d.Fragment() }

// flipped returns c with one block put in, put out, or left as published.
func (c Choice) flipped(f Flip, published bool) Choice {
	c.Flips = slices.DeleteFunc(slices.Clone(c.Flips), func(old Flip) bool { return old.Session == f.Session && old.Block == f.Block })
	if f.In != published {
		c.Flips = append(c.Flips, f)
	}
	sortFlips(c.Flips)
	return c
}

// sortFlips puts flips in the order in which they are written.
func sortFlips(flips []Flip) {
	sort.Slice(flips, func(i, j int) bool {
		a, b := flips[i], flips[j]
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

// Flip returns what c says about a block, nil when that is as published.
func (c Choice) Flip(session, block string) *Flip {
	for i := range c.Flips {
		if f := &c.Flips[i]; f.Session == session && f.Block == block {
			return f
		}
	}
	return nil
}
