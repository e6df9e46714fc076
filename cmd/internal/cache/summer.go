package cache

import "slices"

// Summer sums bytes that come in pieces.
type Summer struct {
	cache *Cache
	sums  []byte // of the chunks that are full
	part  []byte // the one that is not
}

// NewSummer starts a sum.
func (c *Cache) NewSummer() *Summer { return &Summer{cache: c} }

// Add takes the next piece.
func (s *Summer) Add(piece []byte) {
	for len(piece) > 0 {
		if len(s.part) == chunk {
			s.full()
		}
		n := min(chunk-len(s.part), len(piece))
		s.part, piece = append(s.part, piece[:n]...), piece[n:]
	}
}

func (s *Summer) full() {
	sum := s.cache.tag(s.part, 0)
	s.sums, s.part = append(s.sums, sum[:]...), s.part[:0]
}

// Sum is [Cache.Sum] of all that came.
func (s *Summer) Sum() Sum {
	if len(s.sums) == 0 {
		return s.cache.tag(s.part, 0)
	}
	last := s.cache.tag(s.part, 0)
	return s.cache.tag(append(slices.Clip(s.sums), last[:]...), 1)
}
