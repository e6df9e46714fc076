package intake

import (
	"strings"

	"soletrial/pipeline/recording/segment"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// PlainTarget writes a target of the command line as session.yaml has it: "268 W" is
// 268, "6:30/mi" the same pace for a kilometre. What is not understood stays as it is,
// for [CheckEffort] to refuse. Without an effort it is told by how the target is
// written; a number alone is a power.
func PlainTarget(effort, target string) (plainEffort, plain string) {
	if target == "" {
		return effort, target
	}
	// The effort follows from how the target is written.
	if effort == "" {
		switch lower := strings.ToLower(target); {
		case strings.Contains(target, ":"):
			effort = string(trial.Pace)
		case strings.HasSuffix(lower, "bpm"):
			effort = string(trial.HeartRate)
		default:
			effort = DefaultEffort
		}
	}
	// The target as session.yaml has it; what cannot be read is refused where it is checked.
	parse := units.ParsePower
	switch trial.Effort(effort) {
	case trial.Pace:
		parse = units.ParseAnyPace
	case trial.HeartRate:
		parse = units.ParseHeartRate
	}
	value, err := parse(target)
	if err != nil {
		return effort, target
	}
	if effort == string(trial.Pace) {
		value = units.Round(value, 1)
	}
	return effort, trial.FormatTarget(trial.Effort(effort), value)
}

// guessHeld fills in what a new session held, and at which target, as its blocks look
// where nobody said.
func (in *Import) guessHeld() {
	facts := &in.Session.Facts
	if in.folder.Dataset.Session(in.Session.ID) != nil || facts.Effort != "" && facts.Target != "" {
		return
	}
	found := segment.Propose(in.evidence())
	if facts.Effort == "" {
		facts.Effort = string(found.Effort)
	}
	if facts.Effort == "" || len(found.Blocks) == 0 {
		facts.Effort = DefaultEffort
		return
	}
	if facts.Target == "" && units.Known(found.Target) {
		effort := trial.Effort(facts.Effort)
		facts.Target = trial.FormatTarget(effort, found.Target)
		in.remark("the blocks look like %s at %s; if that is wrong, give --effort and --target",
			effort.Name(), targetText(effort, facts.Target))
	}
}

// targetText is a target with its unit.
func targetText(effort trial.Effort, target string) string {
	switch effort {
	case trial.Pace:
		return target + " per km"
	case trial.HeartRate:
		return target + " bpm"
	}
	return target + " W"
}
