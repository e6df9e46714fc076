// Package fieldnotes takes what was noted on the day into a session: exertion,
// comfort, laps, what the shoes weighed, weather, deviations.
//
// Call [Apply]. Nothing is written: the [Result] that it returns holds the files to
// write and the remarks for the person. It prints nothing and asks nothing.
package fieldnotes

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/intake"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/english"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Notes are what a person says of a session. Everything may be left out.
type Notes struct {
	// One for each included block, in the order of the run; "-" for a block of which
	// nothing was noted.
	RPE, Comfort, Laps, Distances []string
	Blocks                        []string // BLOCK=TEXT
	Excluded                      []string // BLOCK=REASON
	Weights                       []string // SHOE=LEFT/RIGHT or SHOE=MEAN
	Conditions                    trial.Conditions
	Sensor                        string
	Deviations                    []string
	Log                           []byte // the text of a fieldlog.yaml
	LogName                       string // for messages
}

// NoConditions are conditions of which nothing is known.
func NoConditions() trial.Conditions {
	m := units.Missing
	return trial.Conditions{AirC: m, HumidityPct: m, PressureHpa: m, WindMps: m, WbgtC: m}
}

// Result is what notes come to, before anything is written.
type Result struct {
	Session string
	Files   map[string][]byte // to write, by path in the dataset
	Remarks []string          // for the person, in their order

	folder  *plaintext.Folder
	session trial.Session
	text    []byte // of session.yaml
	fromLog bool   // a field log changed the blocks
	shoes   []trial.Shoe
}

// Apply takes notes into a session of the dataset in fsys; the session may be "" where
// a field log names it. The error is a [voice.Failure].
func Apply(fsys fs.FS, folder *plaintext.Folder, session string, n Notes) (*Result, error) {
	r := &Result{
		Session: session,
		Files:   map[string][]byte{},
		folder:  folder,
		shoes:   slices.Clone(folder.Dataset.Shoes),
	}
	// The session, and what its field log says.
	log, err := r.readLog(&n)
	if err != nil {
		return nil, err
	}
	if err := r.open(fsys, log); err != nil {
		return nil, err
	}
	if log != nil {
		r.takeLog(log, &n)
	}
	// Blocks, shoes, and the session as a whole.
	if err := r.noteBlocks(&n); err != nil {
		return nil, err
	}
	if err := r.noteWeights(n.Weights); err != nil {
		return nil, err
	}
	r.noteSession(&n)
	return r, nil
}

func (r *Result) remark(format string, args ...any) {
	r.Remarks = append(r.Remarks, fmt.Sprintf(format, args...))
}

// readLog reads the field log among the notes, nil for none.
func (r *Result) readLog(n *Notes) (*trial.FieldLog, error) {
	if n.Log == nil {
		return nil, nil
	}
	node, problems := yamltext.Parse(n.Log, n.LogName)
	var log *trial.FieldLog
	if len(problems) == 0 {
		log, problems = plaintext.ReadFieldLog(node, r.shoeIDs())
	}
	if len(problems) > 0 {
		return nil, voice.Unreadable(problems)
	}
	if r.Session == "" {
		r.Session = log.Session
	}
	if r.Session != log.Session {
		return nil, voice.Usage("omit -s, or give the log of that session",
			"%q is of session %q, not of %q", n.LogName, log.Session, r.Session)
	}
	return log, nil
}

// open finds the session. One that is not there yet begins with its field log.
func (r *Result) open(fsys fs.FS, log *trial.FieldLog) error {
	// A session that is there is taken as it is.
	if s := r.folder.Dataset.Session(r.Session); s != nil {
		r.session = *s
		r.session.Blocks = slices.Clone(s.Blocks)
		text, err := fs.ReadFile(fsys, s.Folder()+"/session.yaml")
		if err != nil {
			return voice.Usage("", "cannot read %q: %v", s.Folder()+"/session.yaml", voice.Reason(err))
		}
		r.text = text
		return nil
	}
	// Without a log there is nothing to begin one with.
	if log == nil {
		var ids []string
		for _, s := range r.folder.Dataset.Sessions {
			ids = append(ids, s.ID)
		}
		hint := "import its recording first"
		if near := english.Suggest(r.Session, ids); near != "" {
			hint = near
		}
		return voice.Usage(hint, "no session %q", r.Session)
	}
	// A new one begins with what the log planned and noted.
	facts := trial.SessionFacts{
		Date:   log.Began[:len(intake.DateLayout)],
		Effort: log.Plan.Effort,
		Target: log.Plan.Target,
	}
	text, err := yamltext.NewSession(&facts)
	if err != nil {
		return voice.Usage("", "cannot write session.yaml: %v", err)
	}
	facts.Conditions = NoConditions()
	facts.Protocol = trial.Protocol{BlockS: log.Plan.BlockS, RestS: log.Plan.RestS, WarmUpS: log.Plan.WarmUpS}
	r.session = trial.Session{ID: r.Session, Facts: facts}
	if protocol := plaintext.AppendSessionKey(nil, &facts, "protocol"); len(protocol) > 0 {
		text = yamltext.SetKey(text, "protocol", protocol)
	}
	r.text = text
	r.Files[r.session.Folder()+"/blocks.csv"] = plaintext.AppendBlocks(nil,
		trial.Effort(facts.Effort), units.Missing, nil)
	return nil
}

func (r *Result) shoeIDs() []string {
	ids := make([]string, len(r.shoes))
	for i, s := range r.shoes {
		ids[i] = s.ID
	}
	return ids
}

// noteWeights writes the mass of shoes into the register: of left and right the mean.
func (r *Result) noteWeights(weights []string) error {
	for _, text := range weights {
		id, value, _ := strings.Cut(text, "=")
		at := slices.IndexFunc(r.shoes, func(s trial.Shoe) bool { return s.ID == id })
		if at < 0 {
			hint := "add it to shoes.csv"
			if near := english.Suggest(id, r.shoeIDs()); near != "" {
				hint = near
			}
			return voice.Usage(hint, "--weight: shoe %q is not in shoes.csv", id)
		}
		mean, err := ParseWeight(value)
		if err != nil {
			return err
		}
		r.shoes[at].MassG = mean
	}
	if len(weights) > 0 {
		r.Files["shoes.csv"] = plaintext.AppendShoes(nil, r.shoes)
	}
	return nil
}

// ParseWeight reads what a pair of shoes weighs, LEFT/RIGHT or one number for both, and
// returns the mean of the two in grams.
func ParseWeight(text string) (float64, error) {
	left, right, both := strings.Cut(text, "/")
	if !both {
		right = left
	}
	l, errLeft := units.ParseMass(left)
	r, errRight := units.ParseMass(right)
	mean := (l + r) / 2
	if errLeft != nil || errRight != nil || mean < minMassG || mean > maxMassG {
		return 0, voice.Usage("write SHOE=LEFT/RIGHT in grams, such as blue=213/215",
			"--weight: %q is not what a pair of shoes weighs", text)
	}
	return units.Round(mean, 1), nil
}

// What one shoe can weigh, as fieldlog.yaml has it.
const (
	minMassG = 20
	maxMassG = 2000
)

// noteSession writes weather, sensor and deviations into session.yaml.
func (r *Result) noteSession(n *Notes) {
	facts := &r.session.Facts
	set := func(key string) {
		r.text = yamltext.SetKey(r.text, key, plaintext.AppendSessionKey(nil, facts, key))
	}
	if merged, changed := mergeConditions(facts.Conditions, n.Conditions); changed {
		facts.Conditions = merged
		set("conditions")
	}
	if n.Sensor != "" && n.Sensor != facts.Protocol.Sensor {
		facts.Protocol.Sensor = n.Sensor
		set("protocol")
	}
	before := len(facts.Deviations)
	for _, d := range n.Deviations {
		if !slices.Contains(facts.Deviations, d) {
			facts.Deviations = append(slices.Clone(facts.Deviations), d)
		}
	}
	if len(facts.Deviations) > before {
		set("deviations")
	}
	if len(n.Laps) > 0 || n.Log != nil {
		r.placeLaps(set)
	}
	r.Files[r.session.Folder()+"/session.yaml"] = r.text
}

// placeLaps sees to it that laps say a distance: it fills in the only venue where a session
// has none, and says what is missing where that is not enough. Set writes a key of the session.
func (r *Result) placeLaps(set func(key string)) {
	counted := func(b trial.Block) bool { return units.Known(b.Laps) }
	facts, venues := &r.session.Facts, r.folder.Dataset.Venues
	if !slices.ContainsFunc(r.session.Blocks, counted) {
		return
	}
	if facts.Venue == "" && len(venues) == 1 && units.Known(venues[0].LapM) {
		facts.Venue = venues[0].ID
		set("venue")
		r.remark("the laps are taken for those of %q, the only venue; if it was run elsewhere, correct venue in "+
			"session.yaml",
			facts.Venue)
	}
	if v := r.folder.Dataset.Venue(facts.Venue); v == nil || !units.Known(v.LapM) {
		r.remark("laps give no distance without the length of a lap: write venue into session.yaml, and its " +
			"lap_m into venues.csv")
	}
}

// mergeConditions puts what is known of more over what was known.
func mergeConditions(known, more trial.Conditions) (merged trial.Conditions, changed bool) {
	merged = known
	for _, pair := range []struct{ into, from *float64 }{
		{&merged.AirC, &more.AirC}, {&merged.HumidityPct, &more.HumidityPct}, {&merged.PressureHpa, &more.PressureHpa},
		{&merged.WindMps, &more.WindMps}, {&merged.WbgtC, &more.WbgtC},
	} {
		if units.Known(*pair.from) && *pair.from != *pair.into {
			*pair.into, changed = *pair.from, true
		}
	}
	for _, pair := range []struct{ into, from *string }{{&merged.Sky, &more.Sky}, {&merged.Surface, &more.Surface}} {
		if *pair.from != "" && *pair.from != *pair.into {
			*pair.into, changed = *pair.from, true
		}
	}
	return merged, changed
}
