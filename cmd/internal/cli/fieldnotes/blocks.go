package fieldnotes

import (
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// blockValue is a number that is noted of every block.
type blockValue struct {
	flag       string
	values     func(*Notes) []string
	into       func(*trial.Block) *float64
	read       func(string) (float64, error)
	low, high  float64
	what, hint string
}

var blockValues = []blockValue{
	{"--rpe", func(n *Notes) []string { return n.RPE }, func(b *trial.Block) *float64 { return &b.RPE },
		units.ParseDecimal, 0, 10, "an exertion", "write 0 (none) to 10 (all-out) for each block, and - where " +
			"nothing was noted"},
	{"--comfort", func(n *Notes) []string { return n.Comfort }, func(b *trial.Block) *float64 { return &b.ComfortMm },
		units.ParseDecimal, 0, 100, "a comfort", "write 0 (worst) to 100 (best) for each block, and - where nothing " +
			"was noted"},
	{"--laps", func(n *Notes) []string { return n.Laps }, func(b *trial.Block) *float64 { return &b.Laps },
		units.ParseDecimal, 0, 1000, "a number of laps",
		"write the laps of each block, such as 3.5, and - where none were counted"},
	{"--distance", func(n *Notes) []string { return n.Distances },
		func(b *trial.Block) *float64 { return &b.DistanceM }, units.ParseLength, 1, 1e5, "a distance",
		"write the metres of each block as measured on the ground, and - where none were measured"},
}

// parse reads one value; it is missing where nothing was noted.
func (v *blockValue) parse(text string) (float64, error) {
	if text = strings.TrimSpace(text); text == "-" || text == "" {
		return units.Missing, nil
	}
	value, err := v.read(text)
	if err != nil || value < v.low || value > v.high {
		return 0, voice.Usage(v.hint, "%s: %q is not %s", v.flag, text, v.what)
	}
	return value, nil
}

// CheckBlockValue is the error of a value that --rpe, --comfort, --laps or --distance
// could not take for one block.
func CheckBlockValue(flag, text string) error {
	at := slices.IndexFunc(blockValues, func(v blockValue) bool { return v.flag == flag })
	_, err := blockValues[at].parse(text)
	return err
}

// noteBlocks writes what was noted of the blocks into blocks.csv.
func (r *Result) noteBlocks(n *Notes) error {
	blocks := r.session.Blocks
	changed := false
	// One number for each block in the order of the run.
	for i := range blockValues {
		v := &blockValues[i]
		values := v.values(n)
		if len(values) == 0 {
			continue
		}
		included := includedBlocks(blocks)
		if len(values) != len(included) {
			return voice.Usage(v.hint, "%s has %s, but session %q has %s", v.flag,
				units.Count(len(values), "value"), r.Session, units.Count(len(included), "included block"))
		}
		for k, text := range values {
			value, err := v.parse(text)
			if err != nil {
				return err
			}
			if units.Known(value) {
				*v.into(&blocks[included[k]]), changed = value, true
			}
		}
	}
	// Words about one block.
	for _, text := range n.Blocks {
		b, words, err := r.named("--note", text)
		if err != nil {
			return err
		}
		b.Note, changed = words, true
	}
	for _, text := range n.Excluded {
		b, words, err := r.named("--exclude", text)
		if err != nil {
			return err
		}
		if words == "" {
			return voice.Usage("write BLOCK=REASON: an excluded block needs a reason",
				"--exclude: block %q has no reason", b.ID)
		}
		b.Excluded, b.Reason, changed = true, words, true
	}
	if changed || r.fromLog {
		target, _ := trial.ParseTarget(r.session.Effort(), r.session.Facts.Target)
		r.Files[r.session.Folder()+"/blocks.csv"] = plaintext.AppendBlocks(nil, r.session.Effort(), target, blocks)
	}
	return nil
}

// named finds the block of BLOCK=TEXT.
func (r *Result) named(flag, text string) (*trial.Block, string, error) {
	id, words, _ := strings.Cut(text, "=")
	at := slices.IndexFunc(r.session.Blocks, func(b trial.Block) bool { return b.ID == id })
	if at < 0 {
		return nil, "", voice.Usage("the blocks are named in blocks.csv",
			"%s: no block %q in session %q", flag, id, r.Session)
	}
	return &r.session.Blocks[at], words, nil
}

func includedBlocks(blocks []trial.Block) (indices []int) {
	for i, b := range blocks {
		if !b.Excluded {
			indices = append(indices, i)
		}
	}
	return indices
}
