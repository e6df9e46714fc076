package trial

import (
	"strings"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/units"
)

// Session is one outing: blocks run one after another at the same effort.
type Session struct {
	ID     string
	Facts  SessionFacts
	Blocks []Block    // by start, then in file order
	Plan   *PlanFacts // what plan.yaml says; nil without one
	// FieldLog is what fieldlog.yaml says; nil without one.
	FieldLog *FieldLog
	At       Position
}

// Folder returns the session's folder, relative to the dataset.
func (s *Session) Folder() string { return "sessions/" + s.ID }

// Effort is what a session held.
type Effort string

// The efforts a session may hold.
const (
	Power     Effort = "power"
	Pace      Effort = "pace"
	HeartRate Effort = "heart_rate"
)

// Efforts lists the efforts in the order they are documented.
var Efforts = []Effort{Power, Pace, HeartRate}

// Name is the effort in words: "heart rate".
func (e Effort) Name() string {
	if e == HeartRate {
		return "heart rate"
	}
	return string(e)
}

// Same is the effort after "at": "the same heart rate".
func (e Effort) Same() string { return "the same " + e.Name() }

// LogRatio returns ln(held/target): positive when a block was run harder than its target. Pace is
// compared as speed. Without a target it is ln(held), for blocks are compared within a level,
// where the target cancels.
func (e Effort) LogRatio(held, target float64) float64 {
	if !(held > 0) {
		return units.Missing
	}
	if !(target > 0) {
		target = 1
	}
	if e == Pace {
		return stats.Log(target / held)
	}
	return stats.Log(held / target)
}

// Effort returns what the session held.
func (s *Session) Effort() Effort { return Effort(s.Facts.Effort) }

// ParseTarget reads a target of the given effort: watts, beats per minute, or a
// pace m:ss, which becomes seconds per kilometre. Blank text is missing.
func ParseTarget(effort Effort, text string) (float64, error) {
	switch {
	case text == "":
		return units.Missing, nil
	case effort == Pace:
		return units.ParsePace(text)
	}
	return units.ParseDecimal(text)
}

// FormatTarget writes a target so that [ParseTarget] reads the same number.
func FormatTarget(effort Effort, target float64) string {
	if effort == Pace {
		return units.FormatTarget(target)
	}
	text := units.FormatDecimal(target, 3)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// Level names what was held and how much, such as "power 270" or "pace 4:30";
// blocks are only compared with blocks of the same level.
func Level(effort Effort, target float64) string {
	if !units.Known(target) {
		return string(effort)
	}
	return string(effort) + " " + FormatTarget(effort, target)
}

// Levels names levels as [Level] does, one after the other, and remembers the last:
// blocks that follow each other mostly have the same. The zero value is ready.
type Levels struct {
	effort Effort
	target float64
	name   string
}

// Name returns the name of a level.
func (l *Levels) Name(effort Effort, target float64) string {
	if l.name == "" || l.effort != effort || l.target != target {
		*l = Levels{effort, target, Level(effort, target)}
	}
	return l.name
}

// ShoesRun lists the shoes of the session's blocks in the order of the run, those
// too that are left out of the comparison; blocks without a shoe are passed over.
func (s *Session) ShoesRun() []string {
	var order []string
	for i := range s.Blocks {
		if shoe := s.Blocks[i].Shoe; shoe != "" {
			order = append(order, shoe)
		}
	}
	return order
}

// Block is one stretch in one shoe. Start and End are session seconds and may
// be missing in a session without recordings.
type Block struct {
	ID, Shoe   string
	Start, End float64
	Target     float64 // W, s/km or bpm; the session's where the block states none
	DistanceM  float64 // measured on the ground
	Laps       float64 // of the venue, run in its lane
	Sensor     string  // which sensor was on the shoe, where a session has several
	RPE        float64 // 0-10
	ComfortMm  float64 // 0-100 visual analogue scale
	Excluded   bool    // include = no
	Reason     string
	Note       string
	Measured   [MeasureCount]float64 // block means written by hand, by Measure
	At         Position
}

// Duration returns End-Start in seconds, missing when either is.
func (b *Block) Duration() float64 { return b.End - b.Start }
