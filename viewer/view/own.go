package view

import (
	"strconv"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// own is the reader's own recording, cut into blocks and compared by itself.
func own(m *app.Model) *tree.Node {
	part := section("own", "A recording of your own").Add(
		tree.El("p").Say("Bring a recording of one session, say which shoe was worn in which block, and compare the shoes in it by the method chosen above. It stays in this browser and is sent nowhere; where you ran, your name and your device are not read out of the file. Choose a FIT or GPX file or a CSV, or drop it anywhere on this page."),
		tree.El("p class=field").Keyed("file").Add(
			tree.El("label for=own-file").Say("Recording: FIT, GPX or CSV"), tree.El("input type=file accept=.csv,.fit,.gpx,text/csv id=own-file")),
		tree.El("p class=notice id=own-notice").Keyed("notice").Flag("hidden", m.OwnNotice() == "").Say(m.OwnNotice()))
	o := m.Own()
	if o == nil {
		return part
	}
	efforts := choose("own-effort", app.DoOwnEffort)
	for _, effort := range trial.Efforts {
		efforts.Add(option(string(effort), strings.ReplaceAll(string(effort), "_", " "), effort == o.Effort))
	}
	part.Add(
		tree.El("p").Keyed("name").Say("Open: "+figure.Visible(o.Name)), ownNotes(o), ownTrace(m, o),
		field("Held", efforts),
		tree.El("p class=field").Keyed("target").Add(
			tree.El("label for=own-target").Say("Target: W, bpm, or m:ss per km"),
			tree.El("input type=text autocomplete=off id=own-target").Set("value", o.Target).On("input", app.DoOwnTarget)),
		ownBlocks(m, o),
		tree.El("p class=buttons").Keyed("buttons").Add(
			button(app.DoOwnMore, "One more block", true), button(app.DoOwnLess, "Without the last block", len(o.Rows) > 2),
			button(app.DoOwnForget, "Delete this recording from the browser", true)))
	if o.Problem != "" {
		return part.Add(tree.El("p class=notice id=own-problem").Keyed("problem").Say(capital(o.Problem) + "."))
	}
	return part.Add(ownAnswer(m, o))
}

// ownNotes lists what was converted, left behind or doubtful; nil for nothing.
func ownNotes(o *app.Own) *tree.Node {
	if len(o.Notes) == 0 {
		return nil
	}
	list := tree.El("ul id=own-notes")
	for _, note := range o.Notes {
		list.Add(tree.El("li").Say(figure.Visible(note)))
	}
	return tree.El("details").Keyed("notes").Add(tree.El("summary").Say("How the file was read ("+strconv.Itoa(len(o.Notes))+")"), list)
}

var ownLabels = [app.OwnCells]string{"shoe", "start", "end"}

func ownBlocks(m *app.Model, o *app.Own) *tree.Node {
	body := tree.El("tbody")
	for i, row := range o.Rows {
		n := strconv.Itoa(i + 1)
		line := tree.El("tr").Keyed(n).Add(tree.El("th scope=row").Say(n))
		for j, text := range row.Cells {
			input := tree.El("input type=text autocomplete=off").Set("id", "own-"+ownLabels[j]+"-"+n).
				Set("aria-label", "Block "+n+", "+ownLabels[j]).Set("value", text).On("input", app.On(app.DoOwnCell, ownCell(i, j)))
			if j == app.OwnShoe {
				input.Set("list", "own-shoes")
			}
			line.Add(tree.El("td").Add(input))
		}
		body.Add(line.Add(tree.El("td class=quiet").Say(figure.Visible(row.Note))))
	}
	shoes := tree.El("datalist id=own-shoes").Keyed("shoes")
	for _, shoe := range m.Dataset.Shoes {
		shoes.Add(tree.El("option").Keyed(shoe.ID).Set("value", m.ShoeLabel(shoe.ID)))
	}
	return tree.El("div").Keyed("blocks").Add(shoes, scrollable("Table of your blocks", tree.El("table id=own-blocks").Add(
		caption("Blocks, in seconds or m:ss from the start of the recording. One without a shoe does not count."), headings("Block", "Shoe", "Start", "End", "Proposed because"), body)))
}

func ownCell(row, cell int) string { return strconv.Itoa(row) + "/" + strconv.Itoa(cell) }

// ownAnswer is what the comparison says, the blocks it rests on, and what speaks
// against it.
func ownAnswer(m *app.Model, o *app.Own) *tree.Node {
	answer := tree.El("div").Keyed("answer").Add(tree.El("p id=own-headline").Say(o.Result.Compare.Verdict.Headline))
	pairs, decides := tree.El("tbody"), compare.Primary(m.Dataset.Facts.Method, o.Effort)
	for i := range o.Result.Compare.Comparisons {
		if c := &o.Result.Compare.Comparisons[i]; c.Outcome == decides {
			pairs.Add(tree.El("tr").Keyed(c.Shoe+" "+c.Reference).Add(
				tree.El("th scope=row").Say(figure.Visible(o.Label(c.Shoe)+" against "+o.Label(c.Reference))),
				tree.El("td").Say(app.Words(c)), tree.El("td").Say(strconv.Itoa(c.Blocks)), tree.El("td").Say(string(c.Evidence))))
		}
	}
	info, rows := decides.Info(), tree.El("tbody")
	for _, b := range o.Result.Sessions[0].Blocks {
		counts := "yes"
		if !b.Included {
			counts = "no"
		}
		rows.Add(tree.El("tr").Keyed(b.Block).Add(
			tree.El("th scope=row").Say(b.Block), tree.El("td").Say(figure.Visible(b.Shoe)), tree.El("td").Say(held(m, o.Effort, b.Held)),
			tree.El("td").Say(cell(m.In(info.Unit).Of(b.Outcomes[decides]), min(info.Decimals, 3))), tree.El("td").Say(counts), tree.El("td").Say(figure.Visible(b.Reason))))
	}
	return answer.Add(
		scrollable("Table of your comparisons", tree.El("table id=own-table").Add(
			caption("Differences in "+info.Label+" within your recording"), headings("Shoe against shoe", "Difference", "Blocks", "Evidence"), pairs)),
		scrollable("Table of your block means", tree.El("table id=own-means").Add(
			caption("Means of your blocks in their steady windows"), headings("Block", "Shoe", "Held", capital(info.Label)+", "+m.In(info.Unit).Unit, "Counts", "Why not, or note"), rows)),
		ownFindings(o))
}

// ownFindings lists what the quality rules say about the recording; nil for
// nothing.
func ownFindings(o *app.Own) *tree.Node {
	list := tree.El("ul id=own-findings")
	for i, f := range o.Result.Sessions[0].Findings {
		at := ""
		if f.Block != "" {
			at = "block " + f.Block + ": "
		}
		list.Add(tree.El("li").Keyed(strconv.Itoa(i)).Say(figure.Visible(string(f.Severity) + ", " + at + f.Message)))
	}
	if len(list.Children) == 0 {
		return nil
	}
	return tree.El("details").Keyed("findings").Add(tree.El("summary").Say("What the quality rules say ("+strconv.Itoa(len(list.Children))+")"), list)
}
