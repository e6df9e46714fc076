//go:build js && wasm

package main

import (
	"context"

	"soletrial/viewer/dom"
	"soletrial/viewer/track/screen"
	"soletrial/viewer/track/session"
)

// command does what the page does itself.
func (p *page) command(do screen.Do) {
	// Logs: begun, taken up again, left, deleted; then the three ways out of the phone.
	switch do.Command {
	case screen.Begin:
		p.begin(*do.Plan)
	case screen.DrawOne:
		if plan, ok := p.view.FromForm(seed()); ok {
			p.begin(plan)
		}
	case screen.Resume:
		p.resume(do.Name)
	case screen.Leave:
		p.leave()
	case screen.Delete:
		p.forget()
	case screen.Share:
		share("fieldlog-"+p.name+".txt", p.state.Text(), func(problem string) {
			p.view.Notice = "It could not be shared (" + problem + "). Save the file, or show it as text and copy it."
			p.refresh()
		})
	case screen.Save:
		dom.Save("fieldlog.yaml", "application/yaml", p.state.Text(), false)
		p.view.Notice = "Saved as fieldlog.yaml among the downloads of this phone."
	case screen.Copy:
		copyText(p.state.Text(), func(notice string) {
			p.view.Notice = notice
			p.refresh()
		})
	}
}

// begin starts a log with a plan.
func (p *page) begin(plan session.Plan) {
	at := now()
	p.reset(plan.Session)
	p.record(session.Open, []string{p.version}, at)
	p.record(session.Planned, plan.Args(), at)
	dom.SetFragment(plan.Session)
	p.view.Moved()
	askToKeep()
}

// reset takes another log in hand, with nothing of it read yet.
func (p *page) reset(name string) {
	p.name, p.events, p.state, p.run, p.hidden = name, nil, nil, 0, false
	p.view.Moved()
	p.marked = 0
}

// resume goes on with a log that is on the phone.
func (p *page) resume(name string) {
	p.reset(name)
	p.events = p.read(name)
	if len(p.events) == 0 {
		notice := p.view.Notice
		p.leave()
		p.view.Notice = notice
		return
	}
	p.state = session.Fold(p.events)
	p.run = p.events[len(p.events)-1].Run + 1
	at := now()
	if p.state.Step != session.StepDone {
		p.record(session.Open, []string{p.version}, at)
	}
	p.marked = p.state.At(at.mono)
	dom.SetFragment(name)
	p.wake()
}

// leave goes to the first screen.
func (p *page) leave() {
	p.reset("")
	p.view.Wanted = ""
	dom.SetFragment("")
	p.list()
	keepAwake(false)
}

// forget deletes the open log.
func (p *page) forget() {
	name := p.name
	err := p.journal.Delete(context.Background(), name)
	p.leave()
	if err != nil {
		p.view.Notice = name + " could not be deleted (" + err.Error() + ")."
	}
}

// follow opens the session that the address names now.
func (p *page) follow() {
	if wanted := fragment(); wanted != p.name {
		p.leave()
		p.view.Wanted = wanted
		for _, k := range p.view.Kept {
			if k.Session == wanted && !k.Done {
				p.resume(wanted)
			}
		}
	}
}
