//go:build js && wasm

package main

import (
	"fmt"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/dom"
)

const noConverter = "What reads FIT, GPX and other CSV files could not be fetched (%s). Check the connection and " +
	"open the file again; CSV with elapsed_s and channels such as power_w is read without it."

// openFiles opens the files that the reader chooses or drops together as their own recording.
// One in this project's form is read here; any other is converted by a worker first.
// A newer file stops the conversion of the one before.
func openFiles(m *app.Model, saved *saver, refresh func()) {
	stop := func() {}
	notify := func(notice string) {
		m.SetOwnNotice(notice)
		dom.SetText(statusID, notice)
		refresh()
	}
	read := func(name string, csv []byte, blocks, notes string) {
		if m.OpenOwn(name, csv, blocks, notes) {
			saved.put(ownKey, m.OwnCSV())
			saved.after(m, app.DoOwnAddBlock)
		}
		notify(m.OwnNotice())
	}
	dom.OnFiles(func(files []dom.Chosen) {
		stop()
		stop = func() {}
		name := files[0].Name
		if len(files) > 1 {
			name += fmt.Sprintf(" and %d more", len(files)-1)
		} else if app.InOurFormat(files[0].Content) {
			read(name, files[0].Content, "", "")
			return
		}

		// Any other form: fetch the converter, and let it read the file.
		shown := figure.Visible(name)
		notify(fmt.Sprintf("Fetching what reads %q…", shown))
		reading := func() { notify(fmt.Sprintf("Reading %q…", shown)) }
		stop = dom.Convert(files, reading, func(c dom.Converted) {
			stop = func() {}
			switch {
			case c.Unreachable != "":
				notify(fmt.Sprintf(noConverter, c.Unreachable))
			case c.Problem != "":
				notify("The recording cannot be read: " + c.Problem + ".")
			default:
				read(name, c.CSV, c.Blocks, c.Notes)
			}
		})
	})
}
