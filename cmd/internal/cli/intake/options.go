package intake

import (
	"fmt"
	"regexp"
	"slices"
	"time"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// DefaultEffort is what a new session held when nothing else is said.
const DefaultEffort = string(trial.Power)

// Options say how recordings are taken into a session.
type Options struct {
	Session   string            // its id
	Devices   []string          // one for each file, in their order; empty for names of our own
	Shoes     []string          // the shoe of every block, in the order of the run; empty where nobody says
	NewShoes  []string          // rows to add to shoes.csv, as ID:LABEL:GRAMS
	NoLaps    bool              // find the blocks by effort alone
	Columns   map[string]string // which column of a CSV holds which channel, by channel
	Effort    string            // of a new session
	Target    string            // of a new session
	Part      int               // which session of a FIT file, from 1; 0 for the running one with the most samples
	Zone      string            // local time, as an offset from UTC; "" for what the files say
	Date      string            // day of a new session, where nothing else tells it
	AnyDay    bool              // files of any day will do
	Force     bool              // replace a recording, or take one that is doubtful
	DryRun    bool              // only look: doubts are remarks, and reports show the first rows
	MatchPlan bool              // write the shoes of the plan into the blocks
	// NextCommand is a command as the person would type it, for remarks.
	NextCommand func(command string) string
}

// check refuses options that no dataset could fulfil.
func (o *Options) check(files int) error {
	if !Nameable(o.Session) {
		return voice.Usage("use lower-case letters, digits, dots, dashes and underscores, and no name that Windows "+
			"reserves, such as aux or con", "%q cannot name a session", o.Session)
	}
	if len(o.Devices) > 0 && len(o.Devices) != files {
		return voice.Usage("give --device once for each FILE, in their order",
			"%s for %s", units.Count(len(o.Devices), "device"), units.Count(files, "file"))
	}
	for _, d := range o.Devices {
		if !Nameable(d) || d == "blocks" {
			return voice.Usage("use a short word such as foot_sensor or watch", "%q cannot name a device", d)
		}
	}
	return checkDay(o.Date)
}

var identifier = regexp.MustCompile(`^[a-z0-9][a-z0-9._-]*$`)

// Nameable reports whether every system can hold a session or a device of that
// name.
func Nameable(name string) bool { return identifier.MatchString(name) && plaintext.Portable(name) }

// CheckEffort refuses an effort or a target that a session.yaml may not say; a target
// of "" is fine.
func CheckEffort(effort, target string) error {
	if !slices.Contains(trial.Efforts, trial.Effort(effort)) {
		return voice.Usage("write power, pace or heart_rate", "--effort: %q is not known", effort)
	}
	value, err := trial.ParseTarget(trial.Effort(effort), target)
	if err != nil {
		return voice.Usage("watts for power, m:ss per km for pace, beats per minute for heart_rate", "--target: %v",
			err)
	}
	if value <= 0 {
		return voice.Usage("write a number above 0", "--target: %s is out of range", target)
	}
	return nil
}

// DateLayout is a day in a session.yaml.
const DateLayout = "2006-01-02"

// checkDay refuses a day that is not in the calendar; "" is fine.
func checkDay(day string) error {
	if _, err := time.Parse(DateLayout, day); day != "" && err != nil {
		return voice.Usage("write the day as YYYY-MM-DD", "%q is not in the calendar", day)
	}
	return nil
}

var leadingDay = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}`)

// LeadingDay is the day that a session's id begins with, "" for none.
func LeadingDay(session string) string { return leadingDay.FindString(session) }

// parseZone reads an offset from UTC; nil for "".
func parseZone(text string) (*time.Location, error) {
	if text == "" {
		return nil, nil
	}
	at, err := time.Parse("Z07:00", text)
	if err != nil {
		return nil, voice.Usage("write hours and minutes ahead of UTC, such as +02:00, -04:00 or Z",
			"--zone: %q is no offset from UTC", text)
	}
	_, offset := at.Zone()
	return time.FixedZone("", offset), nil
}

// recordings are the names of the files that the import writes.
func (o *Options) recordings(files int) []string {
	names := make([]string, files)
	for i := range names {
		names[i] = o.device(i) + ".csv"
	}
	return names
}

// device names the device of the i-th file.
func (o *Options) device(i int) string {
	if len(o.Devices) > 0 {
		return o.Devices[i]
	}
	return defaultDevice(i)
}

// defaultDevice names the i-th device where nobody does.
func defaultDevice(i int) string {
	if i == 0 {
		return "recording"
	}
	return fmt.Sprintf("recording-%d", i+1)
}
