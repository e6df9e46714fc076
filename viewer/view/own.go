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
		tree.El("p").Say("Bring a recording of one session, cut it into blocks and compare the shoes in it by the method chosen above. It stays in this browser and is sent nowhere. Choose a CSV file with elapsed_s and channels such as power_w, speed_mps and heart_rate_bpm, or drop it anywhere on this page."),
		tree.El("p class=field").Keyed("file").Add(
			tree.El("label for=own-file").Say("Recording, CSV"), tree.El("input type=file accept=.csv,text/csv id=own-file")))
	o := m.Own()
	if o == nil {
		return part
	}
	efforts := choose("own-effort", app.DoOwnEffort)
	for _, effort := range trial.Efforts {
		efforts.Add(option(string(effort), strings.ReplaceAll(string(effort), "_", " "), effort == o.Effort))
	}
	part.Add(
		tree.El("p").Keyed("name").Say("Open: "+figure.Visible(o.Name)),
		field("Held", efforts),
		tree.El("p class=field").Keyed("target").Add(
			tree.El("label for=own-target").Say("Target: W, bpm, or m:ss per km"),
			tree.El("input type=text autocomplete=off id=own-target").Set("value", o.Target).On("input", app.DoOwnTarget)),
		ownBlocks(o),
		tree.El("p class=buttons").Keyed("buttons").Add(
			button(app.DoOwnMore, "One more block", true), button(app.DoOwnLess, "Without the last block", len(o.Rows) > 2),
			button(app.DoOwnForget, "Delete this recording from the browser", true)))
	if o.Problem != "" {
		return part.Add(tree.El("p class=notice id=own-problem").Keyed("problem").Say(capital(o.Problem) + "."))
	}
	return part.Add(ownAnswer(m, o))
}

var ownLabels = [app.OwnCells]string{"shoe", "start", "end"}

func ownBlocks(o *app.Own) *tree.Node {
	body := tree.El("tbody")
	for i, row := range o.Rows {
		n := strconv.Itoa(i + 1)
		line := tree.El("tr").Keyed(n).Add(tree.El("th scope=row").Say(n))
		for j, text := range row {
			line.Add(tree.El("td").Add(tree.El("input type=text autocomplete=off").Set("id", "own-"+ownLabels[j]+"-"+n).
				Set("aria-label", "Block "+n+", "+ownLabels[j]).Set("value", text).On("input", app.On(app.DoOwnCell, strconv.Itoa(i)+"/"+strconv.Itoa(j)))))
		}
		body.Add(line)
	}
	return scrollable("Table of your blocks", tree.El("table id=own-blocks").Add(
		caption("Blocks, in seconds or m:ss from the start of the recording"), headings("Block", "Shoe", "Start", "End"), body))
}

// ownAnswer is what the comparison says, and the blocks it rests on.
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
			tree.El("th scope=row").Say(b.Block), tree.El("td").Say(figure.Visible(b.Shoe)), tree.El("td").Say(held(o.Effort, b.Held)),
			tree.El("td").Say(cell(b.Outcomes[decides], min(info.Decimals, 3))), tree.El("td").Say(counts), tree.El("td").Say(figure.Visible(b.Reason))))
	}
	return answer.Add(
		scrollable("Table of your comparisons", tree.El("table id=own-table").Add(
			caption("Differences in "+info.Label+" within your recording"), headings("Shoe against shoe", "Difference", "Blocks", "Evidence"), pairs)),
		scrollable("Table of your block means", tree.El("table id=own-means").Add(
			caption("Means of your blocks in their steady windows"), headings("Block", "Shoe", "Held", capital(info.Label)+", "+info.Unit, "Counts", "Why not, or note"), rows)))
}
