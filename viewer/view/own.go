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

const ownIntroduction = "Open a recording of one session, say which shoe was worn in which block, and compare the " +
	"shoes in it by the method chosen above. It stays in this browser and goes nowhere else. Where you ran, your " +
	"name and your device are left out. Choose a FIT or GPX file or a CSV, or drop it anywhere on this page. " +
	"Several files of one session become one recording, and a table with one row for each lap becomes blocks."

// ownSection is the reader's own recording, cut into blocks and compared by itself.
func ownSection(m *app.Model) *tree.Node {
	notice := m.OwnNotice()
	part := section("own", "A recording of your own").Add(
		tree.El("p").AddText(ownIntroduction),
		tree.El("p class=field").Keyed("file").Add(
			tree.El("label for=own-file").AddText("Recording: FIT, GPX or CSV"),
			tree.El("input type=file multiple accept=.csv,.fit,.gpx,.gz,.zip,text/csv id=own-file")),
		tree.El("p class=notice id=own-notice").Keyed("notice").SetIf("hidden", notice == "").AddText(notice),
		ownDoubt(m), ownColumns(m))
	o := m.Own()
	if o == nil || m.OwnReading() {
		return part
	}

	part.Add(
		tree.El("p").Keyed("name").AddText("Open: "+figure.Visible(o.Name)),
		ownLaps(o), ownNotes(o), ownTrace(m, o), ownEffort(o), ownTarget(o), ownBlocks(m, o),
		ownButtons(o), ownFolder(o))
	if o.Problem != "" {
		problem := english.Capitalise(o.Problem) + "."
		return part.Add(tree.El("p class=notice id=own-problem").Keyed("problem").AddText(problem))
	}
	return part.Add(ownAnswer(m, o))
}

// ownDoubt lets the reader open what is doubtful; nil where nothing is.
func ownDoubt(m *app.Model) *tree.Node {
	if !m.OwnDoubt() {
		return nil
	}
	return tree.El("p class=buttons").Keyed("doubt").Add(button(app.DoOwnAnyway, "Open it anyway", true))
}

// ownLaps says what a table of laps cannot show; nil for a recording.
func ownLaps(o *app.OwnRecording) *tree.Node {
	if o.HasSamples() {
		return nil
	}
	return tree.El("p id=own-laps").Keyed("laps").AddText("It has one row for each lap and no samples. The blocks " +
		"have the means of their laps, whatever the trim. There is no trace, and nothing to check within a block.")
}

// ownNotes lists what was converted, dropped or doubtful; nil for nothing.
func ownNotes(o *app.OwnRecording) *tree.Node {
	if len(o.Notes) == 0 {
		return nil
	}
	list := tree.El("ul id=own-notes")
	for _, note := range o.Notes {
		list.Add(tree.El("li").AddText(figure.Visible(note)))
	}
	summary := "How the file was read (" + strconv.Itoa(len(o.Notes)) + ")"
	return tree.El("details").Keyed("notes").Add(tree.El("summary").AddText(summary), list)
}

func ownEffort(o *app.OwnRecording) *tree.Node {
	efforts := selectFrom("own-effort", app.DoOwnEffort)
	for _, effort := range trial.Efforts {
		efforts.Add(option(string(effort), strings.ReplaceAll(string(effort), "_", " "), effort == o.Effort))
	}
	return field("Effort", efforts)
}

func ownTarget(o *app.OwnRecording) *tree.Node {
	input := tree.El("input type=text autocomplete=off id=own-target").Set("value", o.Target)
	return tree.El("p class=field").Keyed("target").Add(
		tree.El("label for=own-target").AddText("Target: W, bpm, or m:ss per km"),
		input.On("input", app.DoOwnTarget))
}

func ownButtons(o *app.OwnRecording) *tree.Node {
	return tree.El("p class=buttons").Keyed("buttons").Add(
		button(app.DoOwnAddBlock, "Add a block", true),
		button(app.DoOwnRemoveBlock, "Remove the last block", len(o.Rows) > 2),
		button(app.DoOwnDelete, "Delete this recording from the browser", true))
}

var ownLabels = [app.OwnCells]string{"shoe", "start", "end"}

// ownBlocks is the table in which the reader writes the blocks.
func ownBlocks(m *app.Model, o *app.OwnRecording) *tree.Node {
	shoes := tree.El("datalist id=own-shoes").Keyed("shoes")
	for _, shoe := range m.Dataset.Shoes {
		shoes.Add(tree.El("option").Keyed(shoe.ID).Set("value", m.ShoeLabel(shoe.ID)))
	}
	body := tree.El("tbody")
	for i, row := range o.Rows {
		body.Add(ownBlockRow(i, row))
	}
	table := tree.El("table id=own-blocks").Add(
		caption("Blocks, in seconds or m:ss from the start of the recording. One without a shoe is excluded."),
		headings("Block", "Shoe", "Start", "End", "Proposed because"), body)
	return tree.El("div").Keyed("blocks").Add(shoes, scrollable("Table of your blocks", table))
}

func ownBlockRow(i int, block app.OwnBlock) *tree.Node {
	n := strconv.Itoa(i + 1)
	row := tree.El("tr").Keyed(n).Add(tree.El("th scope=row").AddText(n))
	for j, text := range block.Cells {
		input := tree.El("input type=text autocomplete=off").Set("id", "own-"+ownLabels[j]+"-"+n)
		input.Set("aria-label", "Block "+n+", "+ownLabels[j]).Set("value", text)
		if j == app.OwnShoe {
			input.Set("list", "own-shoes")
		}
		row.Add(tree.El("td").Add(input.On("input", app.On(app.DoOwnCell, ownCell(i, j)))))
	}
	return row.Add(tree.El("td class=quiet").AddText(figure.Visible(block.Note)))
}

// ownCell names a cell of the table of blocks as the actions do.
func ownCell(row, cell int) string { return strconv.Itoa(row) + "/" + strconv.Itoa(cell) }

// ownAnswer is what the comparison says, the blocks it rests on, and what speaks
// against it.
func ownAnswer(m *app.Model, o *app.OwnRecording) *tree.Node {
	outcome := compare.Primary(m.Dataset.Facts.Method, o.Effort)
	return tree.El("div").Keyed("answer").Add(
		tree.El("p id=own-headline").AddText(o.Said),
		ownComparisons(o, outcome), ownMeans(m, o, outcome), ownFindings(o))
}

func ownComparisons(o *app.OwnRecording, outcome trial.Outcome) *tree.Node {
	body := tree.El("tbody")
	for i := range o.Result.Compare.Comparisons {
		c := &o.Result.Compare.Comparisons[i]
		if c.Outcome != outcome {
			continue
		}
		// The better shoe comes first, as everywhere.
		if c.Estimate != 0 && c.Estimate < 0 == (outcome.Info().Better >= 0) {
			reversed := c.Reverse()
			c = &reversed
		}
		body.Add(tree.El("tr").Keyed(c.Shoe+" "+c.Reference).Add(
			tree.El("th scope=row").AddText(figure.Visible(o.Label(c.Shoe)+" against "+o.Label(c.Reference))),
			cell(app.EstimateText(c)), cell(strconv.Itoa(c.Blocks)), cell(string(c.Evidence))))
	}
	return scrollable("Table of your comparisons", tree.El("table id=own-table").Add(
		caption("Differences in "+outcome.Info().Label+" within your recording"),
		headings("Shoe against shoe", "Difference", "Blocks", "Evidence"), body))
}

func ownMeans(m *app.Model, o *app.OwnRecording, outcome trial.Outcome) *tree.Node {
	info, body := outcome.Info(), tree.El("tbody")
	unit := m.Conversion(info.Unit)
	for _, b := range o.Result.Sessions[0].Blocks {
		counts := "yes"
		if !b.Included {
			counts = "no"
		}
		body.Add(tree.El("tr").Keyed(b.Block).Add(
			tree.El("th scope=row").AddText(b.Block), cell(figure.Visible(b.Shoe)),
			cell(effortText(m, o.Effort, b.MeanEffort)),
			cell(numberText(unit.Of(b.Outcomes[outcome]), min(info.Decimals, 3))),
			cell(counts), cell(figure.Visible(b.Reason))))
	}
	of := "Means of your blocks in their steady windows"
	if !o.HasSamples() {
		of = "Means of your blocks from the table of laps"
	}
	return scrollable("Table of your block means", tree.El("table id=own-means").Add(
		caption(of),
		headings("Block", "Shoe", "Effort", english.Capitalise(info.Label)+", "+unit.Unit, "Included",
			"Why not, or note"),
		body))
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
		words := string(f.Severity) + ", " + at + f.Message
		list.Add(tree.El("li").Keyed(strconv.Itoa(i)).AddText(figure.Visible(words)))
	}
	if len(list.Children) == 0 {
		return nil
	}
	summary := "What the quality rules say (" + strconv.Itoa(len(list.Children)) + ")"
	return tree.El("details").Keyed("findings").Add(tree.El("summary").AddText(summary), list)
}
