//go:build js && wasm

package main

import (
	"fmt"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/dom"
)

// bringing takes every file that the reader chooses or drops. One in this
// project's form is read here; any other is converted by a worker first. A newer
// file gives up the one before.
func bringing(m *app.Model, keep *keeper, refresh func()) {
	stop := func() {}
	say := func(notice string) {
		m.SetOwnNotice(notice)
		dom.SetText(statusID, notice)
		refresh()
	}
	read := func(name string, csv []byte, blocks, notes string) {
		if m.OpenOwn(name, csv, blocks, notes) {
			keep.put(ownKey, m.OwnCSV())
			keep.after(m, app.DoOwnAddBlock)
		}
		say(m.OwnNotice())
	}
	dom.OnFile(func(name string, content []byte) {
		stop()
		stop = func() {}
		if app.InOurFormat(content) {
			read(name, content, "", "")
			return
		}
		shown := figure.Visible(name)
		say(fmt.Sprintf("Fetching what reads %q…", shown))
		stop = dom.Convert(name, content, func() { say(fmt.Sprintf("Reading %q…", shown)) }, func(c dom.Converted) {
			stop = func() {}
			switch {
			case c.Unreachable != "":
				say("What reads FIT, GPX and other CSV files could not be fetched (" + c.Unreachable +
					"). Check the connection and bring the file again; CSV with elapsed_s and channels such as " +
					"power_w is read without it.")
			case c.Problem != "":
				say("The recording cannot be read: " + c.Problem + ".")
			default:
				read(name, c.CSV, c.Blocks, c.Notes)
			}
		})
	})
}
