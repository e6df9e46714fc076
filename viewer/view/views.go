package view

import (
	"strconv"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/tree"
)

// views keeps readings under names of the reader's own.
func views(m *app.Model) *tree.Node {
	set := tree.El("fieldset").Keyed("views").Add(
		tree.El("legend").AddText("Views kept in this browser"),
		tree.El("p class=field").Keyed("name").Add(
			tree.El("label for=view-name").AddText("Name for the view as it is now"),
			tree.El("input type=text autocomplete=off maxlength=60 id=view-name").Set("value", m.ViewName()).On("input",
				app.DoNameView)),
		tree.El("p class=buttons").Keyed("keep").Add(button(app.DoSaveView, "Keep this view", m.ViewName() != "")))
	list := tree.El("ul class=views").Keyed("list")
	for i, v := range m.Views() {
		name := figure.Visible(v.Name)
		list.Add(tree.El("li").Keyed(v.Name).Add(
			tree.El("button type=button").Set("id", "open-"+strconv.Itoa(i+1)).On("click",
				app.On(app.DoOpenView, v.Name)).AddText(name),
			tree.Text(" "),
			tree.El("button type=button").Set("id", "drop-"+strconv.Itoa(i+1)).Set("aria-label",
				"Delete the view "+name).On("click", app.On(app.DoDeleteView, v.Name)).AddText("Delete")))
	}
	if len(list.Children) == 0 {
		return set
	}
	return set.Add(list)
}
