package view

import (
	"bytes"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// File is a download. A picture is SVG that is to be saved as PNG.
type File struct {
	Name, Type string
	Content    []byte
	Picture    bool
}

// doSave is the action on a kind (csv, svg, png) and the id of what is saved.
const doSave = "save"

const (
	tableFile = "comparisons"
	rankingID = "ranking-"
	orderID   = "order"
)

// saveButtons has the buttons to save a figure; its title tells them apart for those
// who hear them.
func saveButtons(id, title string) *tree.Node {
	return tree.El("p class=buttons").Keyed("save").Add(
		saveButton("svg", id, "Save as SVG").Set("aria-label", "Save as SVG: "+title),
		saveButton("png", id, "Save as PNG").Set("aria-label", "Save as PNG: "+title))
}

func saveButton(kind, id, label string) *tree.Node {
	b := tree.El("button type=button class=small").Set("id", "save-"+kind+"-"+id)
	return b.On("click", app.On(doSave, kind+" "+id)).AddText(label)
}

// Save returns the file that an action asks for; asked is false for all other
// actions.
func Save(m *app.Model, action string) (file File, asked bool) {
	words := strings.Split(action, " ")
	if words[0] != doSave || len(words) != 3 {
		return File{}, false
	}
	kind, id := words[1], words[2]
	file.Name = id + ".published." + kind
	if m.Changed() {
		file.Name = id + ".yours." + kind
	}

	// Samples, a table, or a figure.
	if column, trace := strings.CutPrefix(id, app.TraceID); trace && kind == "csv" {
		channel, _ := trial.ChannelNamed(column)
		file.Type, file.Content = "text/csv", m.TraceTable(channel)
		return file, true // numbers alone
	}
	if kind == "csv" {
		file.Type = "text/csv"
		for _, table := range m.Tables() {
			if table.Name == tableFile+".csv" {
				file.Content = withoutFormulas(table.Text)
			}
		}
		return file, true
	}
	file.Type, file.Content, file.Picture = "image/svg+xml", standalone(figureByID(m, id)), kind == "png"
	return file, true
}

// figureByID returns a figure that is shown as SVG.
func figureByID(m *app.Model, id string) []byte {
	if n, ranking := strings.CutPrefix(id, rankingID); ranking {
		if i, err := strconv.Atoi(n); err == nil && i < len(shownStandings(m)) {
			return answerFigure(m, i).SVG(m.Width)
		}
	}
	if column, trace := strings.CutPrefix(id, app.TraceID); trace {
		channel, _ := trial.ChannelNamed(column)
		if t, ok := m.Trace(channel); ok {
			t.View[0], t.View[1] = m.View()
			return t.SVG(m.Width)
		}
	}
	return orderFigure(m, m.Session()).SVG(m.Width)
}

// standalone gives a figure a size and a white background, since its text is black
// where no style sheet says otherwise. Other colours are in its attributes.
func standalone(svg []byte) []byte {
	_, box, _ := bytes.Cut(svg, []byte(`viewBox="0 0 `))
	box, _, _ = bytes.Cut(box, []byte(`"`))
	width, height, _ := strings.Cut(string(box), " ")
	size := ` width="` + width + `" height="` + height + `"`
	head, rest, _ := bytes.Cut(svg, []byte(">"))
	return []byte(string(head) + size + ">" + `<rect` + size + ` fill="#fff"/>` + string(rest) + "\n")
}
