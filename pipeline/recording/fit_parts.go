package recording

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/units"
)

// sessionMessage is what counts of a session message: when it began and which
// sport it was.
type sessionMessage struct {
	start uint32
	sport typedef.Sport
}

func newSession(message *proto.Message) sessionMessage {
	s := sessionMessage{sport: typedef.SportInvalid}
	if start := fieldNumber(message, fieldnum.SessionStartTime); units.Known(start) {
		s.start = uint32(start)
	}
	if sport := fieldNumber(message, fieldnum.SessionSport); units.Known(sport) {
		s.sport = typedef.Sport(sport)
	}
	return s
}

// part is one session of a file: the records from lo to hi, and the span of
// time that its laps start in.
type part struct {
	messages    *messages
	lo, hi      int
	from, until uint32
	sport       typedef.Sport
}

func (p part) times() []uint32 { return p.messages.times[p.lo:p.hi] }

// length is the time from the first sample to the latest.
func (p part) length() float64 {
	latest := slices.Max(p.times())
	return float64(int64(latest) - int64(p.times()[0]))
}

// count returns how many values of s fall into the part.
func (p part) count(s series) int { return count(s.between(p.lo, p.hi)) }

// parts cuts the records where a session starts. A sequence without session
// messages, such as a file that was cut off, is one part.
func (m *messages) parts() []part {
	sessions := slices.Clone(m.sessions)
	stable.Sort(sessions, func(a, b sessionMessage) int { return cmp.Compare(a.start, b.start) })
	if len(sessions) == 0 {
		sessions = []sessionMessage{{sport: typedef.SportInvalid}}
	}
	var found []part
	lo, from := 0, uint32(0)
	for i, s := range sessions {
		p := part{messages: m, lo: lo, hi: len(m.times), from: from, until: math.MaxUint32, sport: s.sport}
		if i+1 < len(sessions) {
			p.until = sessions[i+1].start
			p.hi = m.firstAt(p.until, lo)
		}
		if p.hi > p.lo {
			found = append(found, p)
		}
		lo, from = p.hi, p.until
	}
	return found
}

// firstAt returns the first record from index lo on that is not before the time.
func (m *messages) firstAt(at uint32, lo int) int {
	for i := lo; i < len(m.times); i++ {
		if m.times[i] >= at {
			return i
		}
	}
	return len(m.times)
}

// choosePart picks the part asked for, or the running one with the most samples,
// or where none is running the one with the most.
func choosePart(name string, parts []part, want int, imp *Import) (part, error) {
	if len(parts) == 0 {
		return part{}, fitError(name, noSamplesHint(imp), "the file has no samples with a time")
	}
	chosen := want - 1
	switch {
	case want < 0 || want > len(parts):
		return part{}, fitError(name, "the sessions are: "+listParts(parts), "there is no session %d in the file", want)
	case want == 0:
		chosen = mainPart(parts)
	}
	if len(parts) > 1 {
		how := ", as asked for"
		if want == 0 {
			how = "; take another with --part N"
		}
		imp.warn("the file holds %d sessions (%s); number %d was read%s", len(parts), listParts(parts), chosen+1, how)
	}
	imp.doubtPart(parts[chosen])
	return parts[chosen], nil
}

// doubtPart says why a session is probably no recording of a run.
func (imp *Import) doubtPart(p part) {
	switch kind := p.messages.kind; kind {
	case typedef.FileActivity, typedef.FileInvalid:
	default:
		imp.Doubts = append(imp.Doubts, "it says that it is a "+strings.ReplaceAll(kind.String(), "_", " ")+
			", not a recording")
	}
	switch s := p.sport; s {
	case typedef.SportRunning, typedef.SportGeneric, typedef.SportInvalid:
	default:
		imp.Doubts = append(imp.Doubts, "the device recorded it as "+sportName(s)+", not as running")
	}
}

// mainPart returns which part counts most: a running one before any other, then
// by the number of samples, then the first.
func mainPart(parts []part) int {
	best := 0
	for i, p := range parts {
		running, bestRunning := p.sport == typedef.SportRunning, parts[best].sport == typedef.SportRunning
		if running && !bestRunning || running == bestRunning && p.hi-p.lo > parts[best].hi-parts[best].lo {
			best = i
		}
	}
	return best
}

func noSamplesHint(imp *Import) string {
	if len(imp.Warnings) > 0 {
		return strings.Join(imp.Warnings, "; ")
	}
	return "is it a recording of an activity?"
}

func listParts(parts []part) string {
	var text []string
	for i, p := range parts {
		text = append(text, fmt.Sprintf("%d %s, %d samples", i+1, sportName(p.sport), p.hi-p.lo))
	}
	return strings.Join(text, "; ")
}

func sportName(s typedef.Sport) string {
	if name := s.String(); !strings.ContainsAny(name, "()") {
		return strings.ReplaceAll(name, "_", " ")
	}
	return "of unknown sport"
}
