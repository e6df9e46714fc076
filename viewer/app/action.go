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
	DoEffort    = "effort"
	DoPlain     = "comparisons" // value true or false
	DoTrim      = "trim"        // on a trim key; value seconds, blank for as published
	DoEdge      = "edge"        // on a trim key; value where the window begins or ends, seconds from block start
	DoLaps      = "laps"        // whole laps only; value true or false
	DoDrift     = "drift"       // value true or false
	DoExponent  = "exponent"    // blank for as published
	DoBlock     = "block"       // on session/block; value true or false
	DoReason    = "reason"      // on session/block that is otherwise than published
	DoOverlay   = "beside"      // on a session; value true or false
	DoZoom      = "zoom"        // see [Zooms]
	DoView      = "view"        // value from,to in seconds
	DoCursor    = "cursor"      // value seconds from block start, blank for none
	DoUnits     = "units"       // value imperial, or anything else for metric
	DoReset     = "reset"       // back to the published analysis, looking at the same
	DoUndo      = "undo"
	DoRedo      = "redo"
	DoDerive    = "derive" // fetch all sessions and derive them
	DoFollow    = "follow" // value the fragment of an address
	DoStop      = "stop"   // give up fetching all sessions
	DoRetry     = "retry"  // try again what failed
	DoTry       = "try"    // make all analyses of the robustness; see [Model.TryAll]
	DoWorst     = "worst"  // choose the analysis that speaks most against the answer
	DoCompare   = "with"   // on a saved view; value true or false: show it in the figure
)

// On joins an action with what it acts on.
func On(action, what string) string { return action + " " + what }

// maxTrim is the longest trim that is taken, a day.
const maxTrim = 86400

// Do takes one action of the reader. What cannot be done leaves the choice as it
// is and says why in m.Notice. [Model.Recompute] must follow.
func (m *Model) Do(action, value string) {
	m.Notice = ""
	kind, what, _ := strings.Cut(action, " ")
	before := m.choice

	// Looking at something else: nothing that undoing should bring back.
	switch kind {
	case DoZoom, DoView, DoCursor:
		m.changeView(kind, value)
		return
	case DoOwnZoom, DoOwnView, DoOwnCursor:
		m.changeOwnView(kind, value)
		return
	}

	// Everything else.
	if !m.ownReading {
		m.SetOwnNotice("", false)
	}
	switch kind {
	case DoOwnRead, DoOwnAnyway, DoOwnSave: // others do it
		return
	case DoOwnEffort, DoOwnTarget, DoOwnCell, DoOwnEdge, DoOwnAddBlock, DoOwnRemoveBlock, DoOwnDelete, DoOwnColumn,
		DoOwnDay:
		m.doOwn(kind, what, value)
		return
	case DoNameView, DoSaveView, DoOpenView, DoDeleteView:
		m.doView(kind, what, value)
		return
	case DoUndo, DoRedo:
		m.history(kind == DoUndo)
		return
	case DoDerive, DoStop:
		m.WantAll = kind == DoDerive
		return
	case DoRetry, DoTry:
		return
	case DoCompare:
		m.showView(what, value == "true")
		return
	case DoReset:
		m.reset()
	case DoSession:
		m.choice.Session = value
	case DoOutcome:
		m.choice.Outcome = value
	case DoReference:
		m.setReference(value)
	case DoChannel:
		m.showChannel(what, value == "true")
	case DoEffort:
		m.choice.Effort = trial.Effort(value)
	case DoPlain:
		m.choice.Comparisons = value == "true"
	case DoWorst:
		m.chooseWorst()
	case DoTrim:
		m.setTrim(what, value)
	case DoEdge:
		m.moveEdge(what, value)
		action = On(DoTrim, what)
	case DoLaps:
		m.choice.Laps = m.lapsChoice(value == "true")
	case DoDrift:
		m.setDrift(value == "true")
	case DoExponent:
		m.setExponent(value)
	case DoBlock:
		m.chooseBlock(what, value == "true")
	case DoReason:
		m.setReason(what, value)
	case DoUnits:
		m.choice.Imperial = value == imperial
	case DoFollow:
		m.followHistory(value)
		return
	case DoOverlay:
		m.overlay(what, value == "true")
	}
	m.recordUndo(before, action)
}

// recordUndo keeps the choice to go back to. A slider that is dragged is one
// action however often it reports.
func (m *Model) recordUndo(before Choice, action string) {
	if before.Equal(m.choice) {
		return
	}
	if !before.sameAnalysis(m.choice) {
		m.choice.Title = "" // it was the title of another view
	}
	kind, _, _ := strings.Cut(action, " ")
	gradual := kind == DoTrim || kind == DoExponent || kind == DoReason
	if len(m.past) == 0 || m.lastAction != action || !gradual {
		m.past = append(m.past, before)
	}
	m.future, m.lastAction = nil, action
}

// history goes one change back or forth.
func (m *Model) history(back bool) {
	from, to := &m.past, &m.future
	if !back {
		from, to = to, from
	}
	if n := len(*from); n > 0 {
		next := (*from)[n-1]
		*from, *to = (*from)[:n-1], append(*to, m.choice)
		m.choice = next
	}
	m.lastAction = ""
}

// followHistory follows an address: one change back or forth where it is that of the choice
// before or after, as the browser's own buttons ask for it, else as a change like any other.
func (m *Model) followHistory(fragment string) {
	last := func(list []Choice) string {
		if len(list) == 0 {
			return "\x00" // no fragment
		}
		return list[len(list)-1].Fragment()
	}
	switch fragment {
	case last(m.past):
		m.history(true)
	case last(m.future):
		m.history(false)
	default:
		before, past := m.choice, m.past
		m.Follow(fragment)
		m.past = append(past, before)
	}
}

// reset goes back to the published analysis, looking at the same.
func (m *Model) reset() {
	published, current := AsPublished(), m.choice
	published.Session, published.Overlaid = current.Session, current.Overlaid
	published.View, published.Channels = current.View, current.Channels
	published.Effort, published.Comparisons, published.Imperial = current.Effort, current.Comparisons, current.Imperial
	m.choice = published
}

func (m *Model) setReference(shoe string) {
	if shoe == m.Dataset.Reference() {
		shoe = ""
	}
	m.choice.Reference = shoe
}

func (m *Model) showChannel(column string, on bool) {
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
	if slices.Equal(channels, m.decidingChannels()) {
		m.choice.Channels = nil
	}
}

func (m *Model) setTrim(key, value string) {
	part, ok := trimPartNamed(key)
	if !ok {
		return
	}
	if strings.TrimSpace(value) == "" {
		m.choice.Trim[part] = units.Missing
		return
	}
	seconds, err := units.ParseDecimal(value)
	if err != nil || seconds < 0 || seconds > maxTrim {
		m.Notice = fmt.Sprintf("A trim is a number of seconds from 0 to %d; "+
			"leave the field blank for the published one.", maxTrim)
		return
	}
	if m.choice.Trim[part] = units.Round(seconds, 3); m.choice.Trim[part] == *part.Of(&m.Dataset.Facts.Method.Trim) {
		m.choice.Trim[part] = units.Missing
	}
}

func (m *Model) chooseBlock(name string, in bool) {
	session, block, _ := strings.Cut(name, "/")
	if published, known := m.publishedInclusion(session, block); known {
		m.choice = m.choice.withBlock(BlockChoice{Session: session, Block: block, Included: in}, published)
	}
}

// setReason records why the reader included or excluded a block.
func (m *Model) setReason(name, text string) {
	session, block, _ := strings.Cut(name, "/")
	if m.choice.BlockChoice(session, block) != nil {
		m.choice.Blocks = slices.Clone(m.choice.Blocks)
		m.choice.BlockChoice(session, block).Reason = clipReason(text)
	}
}

// maxReasonBytes is how many bytes of a reason are kept: it has to fit into an
// address.
const maxReasonBytes = 200

func clipReason(text string) string {
	text = strings.TrimLeft(text, " ")
	return strings.ToValidUTF8(text[:min(len(text), maxReasonBytes)], "")
}

// lapsChoice is what asking for whole laps, or for none, changes.
func (m *Model) lapsChoice(whole bool) string {
	published := m.Dataset.Facts.Method.Trim.Laps == trial.WholeLaps
	switch {
	case whole == published:
		return ""
	case whole:
		return trial.WholeLaps
	}
	return Seconds
}

// setDrift models a straight drift in every session, or none.
func (m *Model) setDrift(linear bool) {
	m.choice.Drift = trial.DriftNone
	if linear {
		m.choice.Drift = trial.DriftLinear
	}
	if m.choice.Drift == m.Dataset.Facts.Method.Drift {
		m.choice.Drift = ""
	}
}

// maxExponent is the largest exponent that is taken: speed goes with power to
// the first, and not beyond the third in any air.
const maxExponent = 3

func parseExponent(text string) (exponent float64, ok bool) {
	exponent, err := units.ParseDecimal(text)
	return units.Round(exponent, 3), err == nil && exponent >= 0 && exponent <= maxExponent
}

func (m *Model) setExponent(text string) {
	if strings.TrimSpace(text) == "" {
		m.choice.Exponent = units.Missing
		return
	}
	exponent, ok := parseExponent(text)
	if !ok {
		m.Notice = fmt.Sprintf("The exponent is a number from 0 to %d; leave the field blank for the published one.",
			maxExponent)
		return
	}
	if m.choice.Exponent = exponent; exponent == m.Dataset.Facts.Method.PowerExponent {
		m.choice.Exponent = units.Missing
	}
}

// publishedInclusion reports whether a block is included as published.
func (m *Model) publishedInclusion(session, block string) (in, known bool) {
	if r := m.published.Session(session); r != nil {
		for _, b := range r.Blocks {
			if b.Block == block {
				return b.Included, true
			}
		}
	}
	for _, r := range m.blockRows {
		if r.text("session") == session && r.text("block") == block {
			return r.text("included") == "yes", true
		}
	}
	return false, false
}

// Follow takes over the choice that an address holds. What this dataset does not
// have is left out and named in m.Notice. [Model.Recompute] must follow.
func (m *Model) Follow(fragment string) {
	c, unread := ParseFragment(fragment)

	// What the dataset does not have.
	if c.Session != "" && !slices.Contains(m.SessionIDs(), c.Session) {
		unread, c.Session = append(unread, "session "+c.Session), ""
	}
	if c.Reference != "" && m.Dataset.Shoe(c.Reference) == nil {
		unread, c.Reference = append(unread, "shoe "+c.Reference), ""
	}
	if c.Reference == m.Dataset.Reference() {
		c.Reference = ""
	}
	if c.Effort != "" && !slices.Contains(m.Efforts(), c.Effort) {
		unread, c.Effort = append(unread, "effort "+string(c.Effort)), ""
	}
	beside := c.Overlaid
	c.Overlaid = nil
	for _, id := range beside {
		if !slices.Contains(m.SessionIDs(), id) || len(c.Overlaid) == MaxOverlaid {
			unread = append(unread, "session "+id)
			continue
		}
		c.Overlaid = append(c.Overlaid, id)
	}

	// What is as published is no choice.
	if c.Laps != "" {
		c.Laps = m.lapsChoice(c.Laps == trial.WholeLaps)
	}
	if c.Drift == m.Dataset.Facts.Method.Drift {
		c.Drift = ""
	}
	if c.Exponent == m.Dataset.Facts.Method.PowerExponent {
		c.Exponent = units.Missing
	}
	for p := range TrimCount {
		if c.Trim[p] == *p.Of(&m.Dataset.Facts.Method.Trim) {
			c.Trim[p] = units.Missing
		}
	}
	choices := c.Blocks
	c.Blocks = nil
	for _, f := range choices {
		published, known := m.publishedInclusion(f.Session, f.Block)
		if !known {
			unread = append(unread, "block "+f.Session+"/"+f.Block)
			continue
		}
		c = c.withBlock(f, published)
	}

	m.choice, m.past, m.future, m.lastAction, m.Notice = c, nil, nil, "", ""
	if len(unread) > 0 {
		m.Notice = "The address names what this dataset does not have: " + strings.Join(unread, ", ") +
			". The rest is shown."
	}
}
