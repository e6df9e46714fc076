package picture

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
)

// Input is what the figures are drawn from.
type Input struct {
	Result  *derive.Result
	Speaker answer.Speaker
	// Recordings reads the samples of a session for its traces; problems are left out.
	Recordings func(*trial.Session) ([]trial.Recording, []trial.Problem)
	// Session is the session whose order and traces are drawn; "" for the last one of the
	// effort that decides.
	Session string
	// Pair are the two shoes that are set side by side; zero for the two that lead.
	Pair [2]string
}

// Options say how a figure is drawn.
type Options struct {
	Size        Size
	Transparent bool
	// Title replaces the figure's own; "" for that.
	Title string
	// FontSize is that of plain text on a picture of 1920 x 1080, pixels; 0 for the usual 36.
	FontSize float64
}

// The sizes of plain text, pixels.
const (
	usualFont    = 36.0
	SmallestFont = 32.0 // so that small text has 24 pixels at least
	LargestFont  = 64.0
)

// Figure is one figure by its name, such as "ranking".
type Figure struct {
	Name string
	draw func(*page)
	// needs says why the figure cannot be drawn, "" where it can.
	needs func(*Input) string
}

// Figures are all figures.
var Figures = []Figure{
	{"answer", (*page).answer, needsAnswer},
	{"ranking", (*page).ranking, needsAnswer},
	{"pair", (*page).pair, needsPair},
	{"traces", (*page).traces, needsTraces},
	{"order", (*page).order, needsSession},
	{"weight", (*page).weight, needsWeight},
}

// Find returns the figure with a name.
func Find(name string) (Figure, bool) {
	i := slices.IndexFunc(Figures, func(f Figure) bool { return f.Name == name })
	if i < 0 {
		return Figure{}, false
	}
	return Figures[i], true
}

// Missing says what a figure lacks to be drawn, "" where it can be.
func (f Figure) Missing(in *Input) string { return f.needs(in) }

// Draw draws a figure of which nothing is [Figure.Missing].
func (f Figure) Draw(in *Input, o Options) *Drawing {
	p := newPage(in, o)
	f.draw(p)
	p.finish()
	return p.Drawing
}

func needsAnswer(in *Input) string {
	if _, g := in.Speaker.Answers.Top(); g == nil {
		return "there is no answer yet"
	}
	return ""
}

// names are the shoes' names on pictures.
type names struct {
	input   *Input
	letters *faces
}

// of is a shoe's name, or its id where the font lacks a letter of the name.
func (n names) of(shoe string) string {
	label := n.input.Speaker.Label(shoe)
	if !n.letters.has(label) {
		return shoe
	}
	return label
}

// in a sentence, names that are read from right to left are isolated, and those that the
// font lacks are replaced.
func (n names) sentence(text string) string {
	labels := map[string]string{}
	var order []string
	for i := range n.input.Result.Dataset.Shoes {
		id := n.input.Result.Dataset.Shoes[i].ID
		label := n.input.Speaker.Label(id)
		if safe := isolated(n.of(id)); safe != label {
			labels[label] = safe
			order = append(order, label)
		}
	}
	// The longest first, for a name may be a part of another.
	stable.Sort(order, func(a, b string) int {
		return cmp.Or(cmp.Compare(len(b), len(a)), strings.Compare(a, b))
	})
	pairs := make([]string, 0, 2*len(order))
	for _, label := range order {
		pairs = append(pairs, label, labels[label])
	}
	return strings.NewReplacer(append(pairs, " %", "\u00a0%")...).Replace(text)
}

// place is a shoe's place in the register, which gives it its colour and mark.
func (in *Input) place(shoe string) int {
	for i := range in.Result.Dataset.Shoes {
		if in.Result.Dataset.Shoes[i].ID == shoe {
			return i
		}
	}
	return figure.NoShoe
}

// shoeColour is the colour of a shoe, which the site gives it too.
func shoeColour(place int) colour {
	colours := figure.Colours()
	if place < 0 {
		return quiet
	}
	return parseColour(colours[place%len(colours)])
}

// parseColour reads "#rrggbb".
func parseColour(hex string) colour {
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if err != nil {
		return ink
	}
	return colour{uint8(n >> 16), uint8(n >> 8), uint8(n)}
}

// session is the one whose order and traces are drawn: that which is named, else the last that was
// run at the effort of the answer; nil for none.
func (in *Input) session() *trial.Session {
	ds := in.Result.Dataset
	if in.Session != "" {
		return ds.Session(in.Session)
	}
	e, _ := in.Speaker.Answers.Top()
	for _, s := range slices.Backward(ds.SessionsRun()) {
		if e == nil || s.Effort() == e.Effort {
			return s
		}
	}
	return nil
}

// blocks are those of the session that is drawn.
func (in *Input) blocks() []derive.Block {
	if s := in.session(); s != nil {
		if r := in.Result.Session(s.ID); r != nil {
			return r.Blocks
		}
	}
	return nil
}
