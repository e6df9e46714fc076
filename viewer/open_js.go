//go:build js && wasm

package main

import (
	"fmt"

	"soletrial/pipeline/figure"
	"soletrial/viewer/app"
	"soletrial/viewer/dom"
)

const (
	noConverter = "The part that reads files could not be fetched (%s). Check the connection and " +
		"try again; CSV with elapsed_s and channels such as power_w is read without it."
	noProposal = " The part that finds blocks could not be fetched (%s): write them into the table, or check the " +
		"connection " +
		"and open the file again."
)

// opener opens the files that the reader chooses or drops together as their own recording.
// A worker finds the blocks of one in this project's form, and converts any other.
// A newer file stops the work on the one before.
type opener struct {
	m       *app.Model
	saved   *saver
	refresh func()
	files   []dom.Chosen // opened last, for another choice of columns
	columns map[string]string
	anyway  bool // doubtful files too
	stop    func()
}

func newOpener(m *app.Model, saved *saver, refresh func()) *opener {
	o := &opener{m: m, saved: saved, refresh: refresh, stop: func() {}}
	dom.OnFiles(o.open)
	return o
}

// after sees to what an action needs of the files.
func (o *opener) after(action string) {
	switch action {
	case app.DoOwnRead:
		if c := o.m.OwnColumns(); c != nil {
			o.columns = c.Chosen
			o.convert()
		}
	case app.DoOwnAnyway:
		o.anyway = true
		o.convert()
	case app.DoOwnSave:
		o.saveFolder()
	case app.DoOwnDelete:
		o.files = nil
	}
}

func (o *opener) open(files []dom.Chosen) {
	o.stop()
	o.files, o.columns, o.anyway, o.stop = files, nil, false, func() {}
	o.m.SetOwnColumns(nil)
	if len(files) == 1 && app.InOurFormat(files[0].Content) {
		o.findBlocks(files[0].Content)
		return
	}
	o.convert()
}

// findBlocks lets the converter find the blocks of a recording that is in this project's form
// and reads it. Without the converter it has no blocks; what is wrong with it is found here.
func (o *opener) findBlocks(csv []byte) {
	o.work(func(c dom.Converted) {
		read := o.m.OpenOwn(o.name(), csv, proposal(c), "")
		notice := o.m.OwnNotice()
		if read && c.Unreachable != "" {
			notice += fmt.Sprintf(noProposal, c.Unreachable)
		}
		o.opened(read, notice)
	})
}

func proposal(c dom.Converted) app.Proposal {
	return app.Proposal{Laps: c.Laps, Blocks: c.Blocks, Effort: c.Effort, Targets: c.Targets, Day: c.Day}
}

// opened stores a recording that was read, and says what came of it.
func (o *opener) opened(read bool, notice string) {
	if read {
		o.saved.put(ownKey, o.m.OwnCSV())
		o.saved.after(o.m, app.DoOwnAddBlock)
	}
	o.notify(notice)
}

// name is that of the files together.
func (o *opener) name() string {
	if more := len(o.files) - 1; more > 0 {
		return fmt.Sprintf("%s and %d more", o.files[0].Name, more)
	}
	return o.files[0].Name
}

// notify says something about the reader's own recording.
func (o *opener) notify(notice string) { o.say(notice, false) }

// say is [opener.notify] with whether it is a doubt.
func (o *opener) say(notice string, doubt bool) {
	o.m.SetOwnNotice(notice, doubt)
	o.show(notice)
}

// reading says that the files are being read.
func (o *opener) reading(notice string) {
	o.m.ReadOwn(notice)
	o.show(notice)
}

func (o *opener) show(notice string) {
	dom.SetText(statusID, notice)
	o.refresh()
}

// convert lets the converter read the files as the reader chose.
func (o *opener) convert() {
	if len(o.files) == 0 {
		return
	}
	o.work(func(c dom.Converted) {
		if c.Headings != nil {
			o.m.SetOwnColumns(&app.OwnColumns{Name: o.name(), Headings: c.Headings, Chosen: c.Chosen,
				Unread: c.Problem != ""})
		}
		switch {
		case c.Unreachable != "":
			o.notify(fmt.Sprintf(noConverter, c.Unreachable))
		case c.Doubt:
			o.say("Not opened: "+c.Problem+".", true)
		case c.Problem != "" && c.Headings != nil:
			o.notify("The recording cannot be read yet: " + c.Problem + ".")
		case c.Problem != "":
			o.notify("The recording cannot be read: " + c.Problem + ".")
		default:
			read := o.m.OpenOwn(o.name(), c.CSV, proposal(c), c.Notes)
			o.opened(read, o.m.OwnNotice())
		}
	})
}

// work fetches the converter, and hands it the files.
func (o *opener) work(done func(dom.Converted)) {
	o.stop()
	shown := figure.Visible(o.name())
	o.reading(fmt.Sprintf("Fetching what reads %q…", shown))
	reading := func() { o.reading(fmt.Sprintf("Reading %q…", shown)) }
	o.stop = dom.Convert(o.files, o.columns, o.anyway, reading, func(c dom.Converted) {
		o.stop = func() {}
		done(c)
	})
}

// saveFolder offers the recording as the folder of a session, packed.
func (o *opener) saveFolder() {
	name, files, err := o.m.OwnFolder()
	if err != nil {
		o.notify("Not saved yet: " + err.Error() + ".")
		return
	}
	packed := make([]dom.Chosen, len(files))
	for i, f := range files {
		packed[i] = dom.Chosen{Name: name + "/" + f.Name, Content: f.Content}
	}
	dom.Pack(packed, func(c dom.Converted) {
		switch {
		case c.Unreachable != "":
			o.notify(fmt.Sprintf(noConverter, c.Unreachable))
		case c.Problem != "":
			o.notify("The folder cannot be packed: " + c.Problem + ".")
		default:
			dom.Save(name+".zip", "application/zip", c.Packed, false)
			if !o.m.OwnReading() { // else the notice is about the file that is read meanwhile
				o.notify("Saved as " + name + ".zip.")
			}
		}
	})
}
