package plaintext

import (
	"slices"
	"strings"

	"soletrial/pipeline/trial"
)

// The documents in a session's folder.
const (
	sessionFile = "session.yaml"
	planFile    = "plan.yaml"
)

// registers are the ids that a session may name; a list is nil when its
// register could not be read.
type registers struct{ runners, shoes, venues []string }

// readSessionFacts turns session.yaml into facts. The only runner of a dataset
// is filled in where the session names none.
func readSessionFacts(n *Node, known registers, r *report) trial.SessionFacts {
	facts := bind[trial.SessionFacts](n, r)
	b := binder{r}
	b.date(n, facts.Date)
	b.start(n, facts.Start)
	b.registered(n, "runner", facts.Runner, runnersFile, known.runners)
	b.registered(n, "venue", facts.Venue, venuesFile, known.venues)
	if facts.Runner == "" && len(known.runners) == 1 {
		facts.Runner = known.runners[0]
	}
	if facts.Runner == "" && len(known.runners) > 1 {
		b.complain(n.At, "", "add it: there are several runners", "key %q is missing", "runner")
	}
	b.sessionTarget(n, facts.Effort, facts.Target)
	b.recordings(n.Get("recordings"), facts.Recordings)
	return facts
}

func (b binder) date(n *Node, date string) {
	if date != "" && !isDate(date) { // a missing one is reported already
		b.complain(n.at("date"), "date", "write the day as YYYY-MM-DD", "%q is not in the calendar", date)
	}
}

func (b binder) start(n *Node, start string) {
	if start != "" && !isClock(start) {
		b.complain(n.at("start"), "start", "write HH:MM or HH:MM:SS, with an offset such as +02:00 where known",
			"%q is not a clock time", start)
	}
}

func (b binder) registered(n *Node, key, id, register string, known []string) {
	if id != "" && known != nil && !slices.Contains(known, id) {
		b.complain(n.at(key), key, suggestOr(id, known, "add it to "+register), "%q is not in %s", id, register)
	}
}

func (b binder) sessionTarget(n *Node, effort, text string) {
	if effort == "" {
		return // reported as missing or unknown; what the target means is not known
	}
	target, err := trial.ParseTarget(trial.Effort(effort), text)
	if err != nil {
		message, hint := syntax(err)
		b.complain(n.at("target"), "target", hint, "%s", message)
	} else if target <= 0 {
		b.complain(n.at("target"), "target", positive.words, "%s is out of range", text)
	}
}

func isSHA256(text string) bool {
	return len(text) == 64 && strings.Trim(text, "0123456789abcdef") == ""
}

// recordings reports file names that cannot name a recording of this session.
func (b binder) recordings(n *Node, facts []trial.RecordingFact) {
	seen := map[string]string{} // by the name without capital letters, which not every system tells apart
	for i, fact := range facts {
		item := n.Items[i]
		first, isTaken := seen[strings.ToLower(fact.File)]
		switch {
		case fact.File == "":
			continue // reported as missing
		case strings.ContainsAny(fact.File, `/\`):
			b.complain(item.at("file"), "file", "put the recording beside session.yaml and write its name alone",
				"%q is not a plain file name", fact.File)
		case !strings.HasSuffix(fact.File, ".csv") || fact.File == blocksFile || strings.HasPrefix(fact.File, "."):
			b.complain(item.at("file"), "file", "name a CSV file with samples", "%q is not a recording",
				fact.File)
		case !Portable(fact.File):
			b.complain(item.at("file"), "file", portableHint, "not every system allows a file named %q",
				fact.File)
		case isTaken && first == fact.File:
			b.complain(item.at("file"), "file", "list every recording once", "%q is listed twice", fact.File)
		case isTaken:
			b.complain(item.at("file"), "file", "rename one of them: not every system keeps both",
				"%q differs from %q only in capital letters", fact.File, first)
		}
		seen[strings.ToLower(fact.File)] = fact.File
		if fact.SourceSha256 != "" && !isSHA256(fact.SourceSha256) {
			b.complain(item.at("source_sha256"), "source_sha256",
				"write the 64 lower-case hexadecimal digits that sha256sum prints",
				"%q is not a SHA-256 sum", fact.SourceSha256)
		}
	}
}

// overrides reports exceptions for blocks that are not there.
func (b binder) overrides(n *Node, facts []trial.Override, blocks []trial.Block) {
	known := make([]string, len(blocks))
	for i, block := range blocks {
		known[i] = block.ID
	}
	for i, fact := range facts {
		if fact.Block != "" && !slices.Contains(known, fact.Block) {
			b.complain(n.Items[i].at("block"), "block", suggestOr(fact.Block, known, "name a block that is there"),
				"%q is not in %s", fact.Block, blocksFile)
		}
	}
}
