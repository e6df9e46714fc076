package view

import (
	"slices"
	"strconv"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// savedViews saves views under names that the reader gives, and lists them.
func savedViews(m *app.Model) *tree.Node {
	name := tree.El("input type=text autocomplete=off maxlength=60 id=view-name").Set("value", m.ViewName())
	set := tree.El("fieldset").Keyed("views").Add(
		tree.El("legend").AddText("Views saved in this browser"),
		tree.El("p class=field").Keyed("name").Add(
			tree.El("label for=view-name").AddText("Name for this view"), name.On("input", app.DoNameView)),
		tree.El("p class=buttons").Keyed("keep").Add(button(app.DoSaveView, "Save this view", m.ViewName() != "")))
	link := tree.El("a").Set("href", "#"+m.LinkFragment()).AddText("Link to this view, with its name")
	set.Add(tree.El("p").Keyed("link").Add(link))
	if len(m.Views()) == 0 {
		return set
	}
	list := tree.El("ul class=views").Keyed("list")
	for i, v := range m.Views() {
		n, name := strconv.Itoa(i+1), figure.Visible(v.Name)
		open := tree.El("button type=button").Set("id", "open-"+n).On("click", app.On(app.DoOpenView, v.Name))
		beside := tree.El("input type=checkbox").Set("id", "in-figure-"+n)
		beside.SetIf("checked", slices.Contains(m.Beside(), v.Name))
		beside.Set("aria-label", "Show "+name+" in the figure").On("change", app.On(app.DoCompare, v.Name))
		drop := tree.El("button type=button").Set("id", "drop-"+n).Set("aria-label", "Delete the view "+name)
		drop.On("click", app.On(app.DoDeleteView, v.Name))
		list.Add(tree.El("li").Keyed(v.Name).Add(beside, open.AddText(name), tree.Text(" "), drop.AddText("Delete")))
	}
	return set.Add(tree.El("p class=quiet").Keyed("tick").AddText("Tick up to two to see them in the figure."), list)
}
