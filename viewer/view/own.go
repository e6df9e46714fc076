package view

import (
	"strconv"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/english"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// own is the reader's own recording, cut into blocks and compared by itself.
func own(m *app.Model) *tree.Node {
	part := section("own", "A recording of your own").Add(
		tree.El("p").AddText("Open a recording of one session, say which shoe was worn in which block, and compare "+
			"the shoes in it by the method chosen above. It stays in this browser and is sent nowhere; where you "+
			"ran, your name and your device are not read out of the file. Choose a FIT or GPX file or a CSV, or "+
			"drop it anywhere on this page."),
		tree.El("p class=field").Keyed("file").Add(
			tree.El("label for=own-file").AddText("Recording: FIT, GPX or CSV"),
			tree.El("input type=file accept=.csv,.fit,.gpx,text/csv id=own-file")),
		tree.El("p class=notice id=own-notice").Keyed("notice").SetIf("hidden",
			m.OwnNotice() == "").AddText(m.OwnNotice()))
	o := m.Own()
	if o == nil {
		return part
	}
	efforts := choose("own-effort", app.DoOwnEffort)
	for _, effort := range trial.Efforts {
		efforts.Add(option(string(effort), strings.ReplaceAll(string(effort), "_", " "), effort == o.Effort))
	}
	part.Add(
		tree.El("p").Keyed("name").AddText("Open: "+figure.Visible(o.Name)), ownNotes(o), ownTrace(m, o),
		field("Held", efforts),
		tree.El("p class=field").Keyed("target").Add(
			tree.El("label for=own-target").AddText("Target: W, bpm, or m:ss per km"),
			tree.El("input type=text autocomplete=off id=own-target").Set("value", o.Target).On("input",
				app.DoOwnTarget)),
		ownBlocks(m, o),
		tree.El("p class=buttons").Keyed("buttons").Add(
			button(app.DoOwnAddBlock, "One more block", true),
			button(app.DoOwnRemoveBlock, "Without the last block", len(o.Rows) > 2),
			button(app.DoOwnDelete, "Delete this recording from the browser", true)))
	if o.Problem != "" {
		return part.Add(tree.El("p class=notice id=own-problem").Keyed("problem").AddText(english.Capitalise(o.Problem) + "."))
	}
	return part.Add(ownAnswer(m, o))
}

// ownNotes lists what was converted, left behind or doubtful; nil for nothing.
func ownNotes(o *app.OwnRecording) *tree.Node {
	if len(o.Notes) == 0 {
		return nil
	}
	list := tree.El("ul id=own-notes")
	for _, note := range o.Notes {
		list.Add(tree.El("li").AddText(figure.Visible(note)))
	}
	return tree.El("details").Keyed("notes").Add(tree.El("summary").AddText("How the file was read ("+strconv.Itoa(len(o.Notes))+")"), list)
}

var ownLabels = [app.OwnCells]string{"shoe", "start", "end"}

func ownBlocks(m *app.Model, o *app.OwnRecording) *tree.Node {
	body := tree.El("tbody")
	for i, row := range o.Rows {
		n := strconv.Itoa(i + 1)
		line := tree.El("tr").Keyed(n).Add(tree.El("th scope=row").AddText(n))
		for j, text := range row.Cells {
			input := tree.El("input type=text autocomplete=off").Set("id", "own-"+ownLabels[j]+"-"+n).
				Set("aria-label", "Block "+n+", "+ownLabels[j]).Set("value", text).On("input",
				app.On(app.DoOwnCell, ownCell(i, j)))
			if j == app.OwnShoe {
				input.Set("list", "own-shoes")
			}
			line.Add(tree.El("td").Add(input))
		}
		body.Add(line.Add(tree.El("td class=quiet").AddText(figure.Visible(row.Note))))
	}
	shoes := tree.El("datalist id=own-shoes").Keyed("shoes")
	for _, shoe := range m.Dataset.Shoes {
		shoes.Add(tree.El("option").Keyed(shoe.ID).Set("value", m.ShoeLabel(shoe.ID)))
	}
	return tree.El("div").Keyed("blocks").Add(shoes,
		scrollable("Table of your blocks", tree.El("table id=own-blocks").Add(
			caption("Blocks, in seconds or m:ss from the start of the recording. One without a shoe does not count."),
			headings("Block", "Shoe", "Start", "End", "Proposed because"), body)))
}

func ownCell(row, cell int) string { return strconv.Itoa(row) + "/" + strconv.Itoa(cell) }

// ownAnswer is what the comparison says, the blocks it rests on, and what speaks
// against it.
func ownAnswer(m *app.Model, o *app.OwnRecording) *tree.Node {
	answer := tree.El("div").Keyed("answer").Add(tree.El("p id=own-headline").AddText(o.Result.Compare.Verdict.Headline))
	pairs, decides := tree.El("tbody"), compare.Primary(m.Dataset.Facts.Method, o.Effort)
	for i := range o.Result.Compare.Comparisons {
		if c := &o.Result.Compare.Comparisons[i]; c.Outcome == decides {
			pairs.Add(tree.El("tr").Keyed(c.Shoe+" "+c.Reference).Add(
				tree.El("th scope=row").AddText(figure.Visible(o.Label(c.Shoe)+" against "+o.Label(c.Reference))),
				tree.El("td").AddText(app.EstimateText(c)), tree.El("td").AddText(strconv.Itoa(c.Blocks)),
				tree.El("td").AddText(string(c.Evidence))))
		}
	}
	info, rows := decides.Info(), tree.El("tbody")
	for _, b := range o.Result.Sessions[0].Blocks {
		counts := "yes"
		if !b.Included {
			counts = "no"
		}
		rows.Add(tree.El("tr").Keyed(b.Block).Add(
			tree.El("th scope=row").AddText(b.Block), tree.El("td").AddText(figure.Visible(b.Shoe)),
			tree.El("td").AddText(held(m, o.Effort, b.Held)),
			tree.El("td").AddText(cell(m.Conversion(info.Unit).Of(b.Outcomes[decides]), min(info.Decimals, 3))),
			tree.El("td").AddText(counts), tree.El("td").AddText(figure.Visible(b.Reason))))
	}
	return answer.Add(
		scrollable("Table of your comparisons", tree.El("table id=own-table").Add(
			caption("Differences in "+info.Label+" within your recording"),
			headings("Shoe against shoe", "Difference", "Blocks", "Evidence"), pairs)),
		scrollable("Table of your block means", tree.El("table id=own-means").Add(
			caption("Means of your blocks in their steady windows"),
			headings("Block", "Shoe", "Held", english.Capitalise(info.Label)+", "+m.Conversion(info.Unit).Unit, "Counts",
				"Why not, or note"), rows)),
		ownFindings(o))
}

// ownFindings lists what the quality rules say about the recording; nil for
// nothing.
func ownFindings(o *app.OwnRecording) *tree.Node {
	list := tree.El("ul id=own-findings")
	for i, f := range o.Result.Sessions[0].Findings {
		at := ""
		if f.Block != "" {
			at = "block " + f.Block + ": "
		}
		list.Add(tree.El("li").Keyed(strconv.Itoa(i)).AddText(figure.Visible(string(f.Severity) + ", " + at +
			f.Message)))
	}
	if len(list.Children) == 0 {
		return nil
	}
	return tree.El("details").Keyed("findings").Add(tree.El("summary").AddText("What the quality rules say ("+strconv.Itoa(len(list.Children))+")"), list)
}
