package app

import (
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// The actions that [Model.Do] knows. Those that need to say what they act on
// have it after a space, see [On].
const (
	DoSession   = "session"
	DoOutcome   = "outcome"
	DoReference = "reference"
	DoChannel   = "channel" // on a column; value true or false
	DoTrim      = "trim"    // on a trim key; value seconds, blank for as published
	DoBlock     = "block"   // on session/block; value true or false
	DoReset     = "reset"   // back to the published analysis, looking at the same
	DoUndo      = "undo"
)

// On joins an action with what it acts on.
func On(action, what string) string { return action + " " + what }

// longestTrim is the longest cut that is taken, a day.
const longestTrim = 86400

// Do takes one action of the reader. What cannot be done leaves the choice as it
// is and says why in m.Notice. [Model.Recompute] must follow.
func (m *Model) Do(action, value string) {
	m.Notice = ""
	kind, what, _ := strings.Cut(action, " ")
	before := m.choice
	switch kind {
	case DoUndo:
		if m.undo != nil {
			m.choice, m.undo = *m.undo, nil
		}
		m.lastAction = ""
		return
	case DoReset:
		m.reset()
	case DoSession:
		m.choice.Session = value
	case DoOutcome:
		m.choice.Outcome = value
	case DoReference:
		m.refer(value)
	case DoChannel:
		m.show(what, value == "true")
	case DoTrim:
		m.trim(what, value)
	case DoBlock:
		m.flip(what, value == "true")
	}
	m.remember(before, action)
}

// remember keeps the choice to go back to. A slider that is dragged is one
// action however often it reports.
func (m *Model) remember(before Choice, action string) {
	if before.Equal(m.choice) {
		return
	}
	if m.undo == nil || m.lastAction != action || !strings.HasPrefix(action, DoTrim) {
		m.undo = &before
	}
	m.lastAction = action
}

func (m *Model) reset() {
	published := AsPublished()
	published.Session, published.Channels, published.Outcome = m.choice.Session, m.choice.Channels, m.choice.Outcome
	m.choice = published
}

func (m *Model) refer(shoe string) {
	if shoe == m.Dataset.Reference() {
		shoe = ""
	}
	m.choice.Reference = shoe
}

func (m *Model) show(column string, on bool) {
	channel, known := trial.ChannelNamed(column)
	if !known {
		return
	}
	channels := withChannel(m.Channels(), channel, on)
	if len(channels) == 0 {
		m.Notice = "At least one channel stays in view."
		return
	}
	m.choice.Channels = channels
	if slices.Equal(channels, m.deciding()) {
		m.choice.Channels = nil
	}
}

func (m *Model) trim(key, value string) {
	part, ok := trimNamed(key)
	if !ok {
		return
	}
	if strings.TrimSpace(value) == "" {
		m.choice.Trim[part] = units.Missing
		return
	}
	cut, err := units.ParseDecimal(value)
	if err != nil || cut < 0 || cut > longestTrim {
		m.Notice = fmt.Sprintf("A cut is a number of seconds from 0 to %d; leave the field blank for the published one.", longestTrim)
		return
	}
	if m.choice.Trim[part] = units.Round(cut, 3); m.choice.Trim[part] == *part.Of(&m.Dataset.Facts.Method.Trim) {
		m.choice.Trim[part] = units.Missing
	}
}

func (m *Model) flip(name string, in bool) {
	session, block, _ := strings.Cut(name, "/")
	if published, known := m.included(session, block); known {
		m.choice = m.choice.flipped(Flip{session, block, in}, published)
	}
}

// included reports whether a block takes part as published.
func (m *Model) included(session, block string) (in, known bool) {
	if r := m.asRead.Session(session); r != nil {
		for _, b := range r.Blocks {
			if b.Block == block {
				return b.Included, true
			}
		}
	}
	return false, false
}

// Follow takes over the choice that an address holds. What this dataset does not
// have is left out and named in m.Notice. [Model.Recompute] must follow.
func (m *Model) Follow(fragment string) {
	c, unread := ParseFragment(fragment)
	if c.Session != "" && m.Dataset.Session(c.Session) == nil {
		unread, c.Session = append(unread, "session "+c.Session), ""
	}
	if c.Reference != "" && m.Dataset.Shoe(c.Reference) == nil {
		unread, c.Reference = append(unread, "shoe "+c.Reference), ""
	}
	if c.Reference == m.Dataset.Reference() {
		c.Reference = ""
	}
	for p := range TrimCount {
		if c.Trim[p] == *p.Of(&m.Dataset.Facts.Method.Trim) {
			c.Trim[p] = units.Missing
		}
	}
	flips := c.Flips
	c.Flips = nil
	for _, f := range flips {
		published, known := m.included(f.Session, f.Block)
		if !known {
			unread = append(unread, "block "+f.Session+"/"+f.Block)
			continue
		}
		c = c.flipped(f, published)
	}
	m.choice, m.undo, m.lastAction, m.Notice = c, nil, "", ""
	if len(unread) > 0 {
		m.Notice = "The address asks for what this dataset does not have: " + strings.Join(unread, ", ") + ". The rest of it is shown."
	}
}
