package trial

// Severity is how much a finding weighs.
type Severity string

// The severities, heaviest first. A Stop keeps a block out of the comparison
// unless a person overrides it in writing.
const (
	Stop Severity = "stop"
	Warn Severity = "warn"
	Note Severity = "note"
)

// RuleSlug is the short name of a quality rule, such as effort-off; package
// quality has a constant for each.
type RuleSlug string

// Finding is what a quality rule has to say about a dataset, a session or a
// block. Session and Block are "" for wider findings; Value and Limit are
// missing where the rule measures nothing.
type Finding struct {
	Session, Block string
	Rule           RuleSlug
	Severity       Severity
	Value, Limit   float64
	Message        string
	At             Position
	Override       string // the written reason that overrides a Stop; "" while it stands
}

// Holds reports whether the finding keeps its block (or session) out.
func (f Finding) Holds() bool { return f.Severity == Stop && f.Override == "" }
