package decide

import (
	"encoding/binary"
	"slices"
	"sync"
)

// sharedParts is what the analyses around one answer have in common while they are made. They change
// the covariates, the outcome or a session; which shoes a runner ran in which session stays, but for
// the runner of that session, and so does all that is cubic in the shoes of a part.
type sharedParts struct {
	layouts []string // of the parts of the published analysis, by [part.layout]

	mu     sync.Mutex
	folded []*foldedShoes
}

// partAt is a part of the published analysis at ratios of the spreads.
type partAt struct {
	part int
	at   ratios
}

// foldedShoes are the shoes of a part once its w is integrated out, by [partSums.foldRunner].
type foldedShoes struct {
	of            partAt
	w, fold, sums []float64 // shoes x shoes
	logDet        float64
}

func newSharedParts(published *Posterior) *sharedParts {
	return &sharedParts{layouts: published.layouts}
}

// find returns the folded shoes of a part, or nil where it has to fold them, and whether others want
// them then.
func (s *sharedParts) find(at partAt, layout string) (known *foldedShoes, wanted bool) {
	if s == nil || at.part >= len(s.layouts) || s.layouts[at.part] != layout {
		return nil, false
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, f := range s.folded {
		if f.of == at {
			return f, true
		}
	}
	return nil, true
}

// keep keeps the folded shoes of a part. Two analyses may keep the same at the same time.
func (s *sharedParts) keep(folded *foldedShoes) {
	s.mu.Lock()
	s.folded = append(s.folded, folded)
	s.mu.Unlock()
}

// folded copies the shoes of a part that were just folded.
func (s *partSums) folded(of partAt, shoes int, logDet float64) *foldedShoes {
	f := &foldedShoes{of: of, w: slices.Clone(s.w.L), fold: slices.Clone(s.fold[:shoes*shoes]), logDet: logDet}
	for i := range shoes {
		f.sums = append(f.sums, s.sums[i*s.n:i*s.n+shoes]...)
	}
	return f
}

// setFolded is the other way.
func (s *partSums) setFolded(shoes int, f *foldedShoes) {
	copy(s.w.L, f.w)
	copy(s.fold, f.fold)
	for i := range shoes {
		copy(s.sums[i*s.n:], f.sums[i*shoes:(i+1)*shoes])
	}
}

// layout tells parts apart whose sessions were laid out in other ways: two parts of the same layout
// have the same products of shoes.
func (p *part) layout() string {
	kinds := make([]string, len(p.layouts))
	for kind, i := range p.at {
		kinds[i] = kind
	}
	var text []byte
	for i, kind := range kinds {
		text = binary.AppendUvarint(append(text, kind...), uint64(p.layouts[i].sessions))
		text = append(text, '/')
	}
	return string(text)
}
