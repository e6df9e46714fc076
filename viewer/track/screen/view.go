// Package screen shows a session at the track as one thing to do at a time.
//
// Its opinions: the screen is a function of the state of the session, of what the
// page holds beside it ([View]) and of the time, and touches nothing else; a tap is
// a word ([View.Take] says what it means); every button is large, every question can
// be left out, and Stop and Undo are never further than one tap away.
package screen

import (
	"strconv"
	"strings"

	"soletrial/pipeline/units"
	"soletrial/viewer/track/session"
)

// View is what the page holds beside the session: what is asked for before there is
// one, what is being typed, and what the browser can do.
type View struct {
	Plans  []session.Plan // planned in the published dataset, not run yet
	Kept   []Kept         // the logs on this phone
	Wanted string         // the session that the address names
	Shoes  []session.Shoe // of the dataset, offered to an order drawn here
	Today  string         // YYYY-MM-DD

	Menu   string            // what is open instead of the step, "" for nothing
	Draft  map[string]string // what is being typed, by field
	Notice string            // something to say once
	Offers Offers
}

// Kept is a log on this phone.
type Kept struct {
	Session  string
	Run, All int // blocks
	Done     bool
}

// Offers is what the browser offers to the page.
type Offers struct {
	Keeps    bool // what is tapped outlives the page
	Secure   bool // opened over https
	Offline  bool // the page can be kept for use without a network
	Wake     bool // the screen can be kept on
	Sounds   bool // tones can be made
	Vibrates bool // the phone can be made to vibrate
	Share    bool // files can be shared
}

// Do is what a tap asks for: an event, or a command to the page.
type Do struct {
	Event   session.Kind
	Args    []string
	Command Command
	Name    string        // the session that the command is about
	Plan    *session.Plan // of Begin
}

// Command is something that the page does itself.
type Command string

// The commands.
const (
	Begin   Command = "begin"  // a new log with Do.Plan
	Resume  Command = "resume" // the log Do.Name
	Leave   Command = "leave"  // the open log, for the first screen
	Delete  Command = "delete" // the open log
	Share   Command = "share"  // the file
	Save    Command = "save"   // the file
	Copy    Command = "copy"   // the text
	DrawOne Command = "draw"   // an order for the form, then Begin
)

// The menus, and the prefix of the one that asks why.
const (
	menuMore   = "more"
	menuForm   = "form"
	menuSwap   = "swap" // for the next block
	menuWore   = "wore" // in the last block
	menuText   = "text"
	menuDelete = "delete"
	menuWhy    = "why "
)

// Take says what an action means. What only changes the view is done here.
func (v *View) Take(s *session.State, action, value string) Do {
	word, rest, _ := strings.Cut(action, " ")
	// What concerns the screen alone, or a command to the page.
	switch word {
	case "draft":
		v.draft(rest, value)
		return Do{}
	case "menu":
		v.Menu, v.Notice = rest, ""
		if rest == menuForm {
			v.FormDefaults()
		}
		return Do{}
	case "say":
		v.Notice = ""
		return Do{}
	case "plan":
		return v.begin(rest)
	case "resume":
		return Do{Command: Resume, Name: rest}
	case "keep":
		return v.keep(s)
	case "why":
		return v.why(s, rest)
	case string(DrawOne), string(Leave), string(Delete), string(Share), string(Save), string(Copy):
		return Do{Command: Command(word)}
	}
	// All else is an event of the session.
	do := Do{Event: session.Kind(word)}
	if rest != "" {
		do.Args = []string{rest}
	}
	return do
}

func (v *View) draft(field, value string) {
	if v.Draft == nil {
		v.Draft = map[string]string{}
	}
	if field == "comfort" && value == "-1" { // just below the end of the line
		value = "0"
	}
	v.Draft[field] = value
	v.Notice = ""
}

// begin starts a planned session; where its name is taken by a log on this phone,
// under the next name that is free.
func (v *View) begin(name string) Do {
	for i := range v.Plans {
		if v.Plans[i].Session == name {
			p := v.Plans[i]
			p.Session = v.free(name)
			return Do{Command: Begin, Plan: &p}
		}
	}
	return Do{}
}

// free returns the name, or the first of name-2, name-3 and so on that no log has.
func (v *View) free(name string) string {
	for n, try := 2, name; ; n++ {
		if v.kept(try) == nil {
			return try
		}
		try = name + "-" + strconv.Itoa(n)
	}
}

func (v *View) kept(name string) *Kept {
	for i := range v.Kept {
		if v.Kept[i].Session == name {
			return &v.Kept[i]
		}
	}
	return nil
}

// keep is the answer that was typed into the fields of the step.
func (v *View) keep(s *session.State) Do {
	d := func(field string) string { return strings.TrimSpace(v.Draft[field]) }
	var do Do
	// What was typed becomes the event of this step.
	switch s.Step {
	case session.StepWeigh:
		do = Do{Event: session.Weighed, Args: []string{decimal(d("left")), decimal(d("right"))}}
	case session.StepDay:
		do = Do{Event: session.Conditions,
			Args: []string{decimal(d("air")), decimal(d("wind")), "", d("sky"), d("surface")}}
	case session.StepSensor:
		side := d("side")
		if side != "" {
			side += " shoe"
		}
		do = Do{Event: session.Sensor, Args: []string{joined(", ", side, d("sensor"))}}
	case session.StepComfort:
		if d("comfort") == "" {
			v.Notice = "Touch the line first."
			return Do{}
		}
		do = Do{Event: session.Comfort, Args: []string{d("comfort")}}
	case session.StepNote:
		do = Do{Event: session.Noted, Args: []string{d("note"), decimal(d("laps")), decimal(d("metres"))}}
	case session.StepClosing:
		do = Do{Event: session.Finish, Args: []string{d("remark")}}
	case session.StepDone:
		do = Do{Event: session.Remark, Args: []string{d("remark")}}
	}
	// Nothing is kept while a field cannot be read.
	if problem := v.problem(); problem != "" {
		v.Notice = problem
		return Do{}
	}
	return do
}

// ranges are the fields that take a number: the least and the most, and what for.
var ranges = []struct {
	field, name string
	low, high   float64
}{
	{"left", "Left", 20, 2000}, {"right", "Right", 20, 2000}, {"air", "Air", -60, 60}, {"wind", "Wind", 0, 60},
	{"laps", "Laps", 0, 1000}, {"metres", "Metres", 0, 100000},
}

// problem says which typed number cannot be right, "" for none.
func (v *View) problem() string {
	for _, r := range ranges {
		text := decimal(strings.TrimSpace(v.Draft[r.field]))
		if text == "" {
			continue
		}
		x, err := units.ParseDecimal(text)
		if err != nil || x < r.low || x > r.high {
			return r.name + ": write a number from " + units.FormatExact(r.low) + " to " +
				units.FormatExact(r.high) + ", or leave it blank."
		}
	}
	return ""
}

// decimal is a typed number with a point, whatever the keyboard offers.
func decimal(text string) string { return strings.Replace(text, ",", ".", 1) }

// why gives the reason that a menu or a question asks for: the one that was tapped,
// or for "own" the one that was typed.
func (v *View) why(s *session.State, reason string) Do {
	if reason == "own" {
		if reason = strings.TrimSpace(v.Draft["reason"]); reason == "" {
			v.Notice = "Write the reason first, or tap one."
			return Do{}
		}
	}
	asked, shoe, _ := strings.Cut(strings.TrimPrefix(v.Menu, menuWhy), " ")
	switch {
	case !strings.HasPrefix(v.Menu, menuWhy) && s.Step == session.StepWhy:
		return Do{Event: session.Stopped, Args: []string{reason}}
	case !strings.HasPrefix(v.Menu, menuWhy):
		return Do{Event: session.Early, Args: []string{reason}}
	case shoe != "":
		return Do{Event: session.Kind(asked), Args: []string{shoe, reason}}
	}
	return Do{Event: session.Kind(asked), Args: []string{reason}}
}

// Moved clears what belonged to the step before.
func (v *View) Moved() { v.Menu, v.Draft, v.Notice = "", nil, "" }
