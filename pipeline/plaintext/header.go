package plaintext

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"soletrial/pipeline/trial"
)

// column is one column of a table: its heading, whether it must be there, in
// reading and in writing, and what it was called before; "" where nothing else.
type column struct {
	name     string
	required bool
	old      string
}

// columnsOf lists the columns of row type R in canonical order, as its `csv`
// tags name them; the tag `need:"column"` makes one required, `old:"name"` says
// what it was called before.
func columnsOf[R any]() []column { return columnsOfType(reflect.TypeFor[R]()) }

func columnsOfType(row reflect.Type) []column {
	list := make([]column, row.NumField())
	for i := range list {
		tag := row.Field(i).Tag
		list[i] = column{tag.Get("csv"), tag.Get("need") == "column", tag.Get("old")}
	}
	return list
}

func names(columns []column) []string {
	list := make([]string, len(columns))
	for i, c := range columns {
		list[i] = c.name
	}
	return list
}

// checkHeader reports headings that are unknown, repeated or blank, and
// required columns that are absent. complete is false when one is. It takes
// blanks off the headings, which it reports too.
func (r *report) checkHeader(header []cell, columns []column) (complete bool) {
	known, seen := names(columns), map[string]bool{}
	for i, c := range header {
		if header[i].text = strings.Trim(c.text, blanks); header[i].text != c.text && !header[i].blank() {
			r.add(trial.Problem{At: c.at, Message: "the heading " + strconv.Quote(c.text) + " has a space at its edge",
				Hint: "remove it; tidy does"})
		}
		switch c = header[i]; {
		case c.blank():
			r.add(trial.Problem{At: c.at, Message: fmt.Sprintf("column %d has no heading", i+1),
				Hint: "name the column or remove it"})
		case seen[c.text]:
			r.add(trial.Problem{At: c.at, Message: "column " + strconv.Quote(c.text) + " is here twice",
				Hint: "keep one of the two"})
		case !slices.Contains(known, c.text):
			r.add(trial.Problem{At: c.at, Message: "unknown column " + strconv.Quote(c.text),
				Hint: suggestOr(c.text, known, "the columns are "+strings.Join(known, ", "))})
		}
		seen[c.text] = true
	}
	// Required columns that are absent.
	complete = true
	for _, column := range columns {
		if column.required && !seen[column.name] {
			complete = false
			at := trial.Position{File: header[0].at.File, Line: 1}
			r.add(trial.Problem{At: at, Message: "column " + strconv.Quote(column.name) + " is missing",
				Hint: "add it to the header and to every row"})
		}
	}
	return complete
}

// renameColumns gives columns that are called by an old name their new one, and
// reports them where the source is not lenient.
func (s source) renameColumns(header []cell, columns []column, r *report) {
	for i, c := range header {
		at := slices.IndexFunc(columns, func(known column) bool { return known.old != "" && known.old == c.text })
		if at < 0 {
			continue
		}
		header[i].text = columns[at].name
		if !s.lenient {
			r.add(trial.Problem{At: c.at, Message: "column " + strconv.Quote(c.text) + " is now called " +
				strconv.Quote(columns[at].name), Hint: "rename it; tidy does"})
		}
	}
}
