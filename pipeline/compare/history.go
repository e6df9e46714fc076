package compare

import (
	"encoding/binary"
	"math"
	"sort"

	"soletrial/pipeline/checksum"
)

// history is one runner's rows of a group, and where each session ends.
type history struct {
	group
	ends []end
}

// end is where a session ends in a history.
type end struct {
	session, to int
	sum         string // of all rows up to here; "" where nothing is remembered
}

// past is one runner's rows from the first session up to some session.
type past struct {
	group
	sum string
}

// histories splits a group by runner.
func (run *runner) histories(g group) []history {
	split := g.byRunner()
	histories := make([]history, len(split))
	for i, own := range split {
		h := &histories[i]
		h.group = own
		var sum string
		var room []byte
		if run.memory != nil {
			sum = checksum.SHA256(nil)
		}
		for _, s := range own.spans() {
			if sum != "" {
				sum, room = own.sumOn(sum, s, room)
			}
			h.ends = append(h.ends, end{s.session, s.to, sum})
		}
	}
	return histories
}

// sumOn returns the sum of all rows to the end of a session from the sum of those
// before it. It tells apart whatever a fit depends on. It works in room, which it
// returns.
func (g group) sumOn(sum string, s span, room []byte) (string, []byte) {
	text := append(room[:0], sum...)
	for i := s.from; i < s.to; i++ {
		r := &g.rows[i]
		text = binary.AppendUvarint(text, uint64(r.shoe))
		text = binary.AppendVarint(text, int64(r.Order))
		for _, x := range [...]float64{r.y, r.adjusted, r.Midpoint} {
			text = binary.LittleEndian.AppendUint64(text, math.Float64bits(x))
		}
	}
	return checksum.SHA256(text), text
}

// until returns the past of each runner before a session, of those who have one.
func until(histories []history, session int) []past {
	pasts := make([]past, 0, len(histories))
	for i := range histories {
		h := &histories[i]
		if n := sort.Search(len(h.ends), func(k int) bool { return h.ends[k].session >= session }); n > 0 {
			last := h.ends[n-1]
			pasts = append(pasts, past{h.with(h.rows[:last.to]), last.sum})
		}
	}
	return pasts
}

// alone is the pasts of runners in a group that is a session by itself, which is
// fitted sooner than looked up.
func alone(g group) []past {
	var pasts []past
	for _, own := range g.byRunner() {
		pasts = append(pasts, past{group: own})
	}
	return pasts
}
