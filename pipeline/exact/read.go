package exact

import (
	"encoding/binary"
	"errors"
	"math"
)

// ErrDamaged is why bytes cannot be read: they are not what [Append] wrote of a
// value of that type.
var ErrDamaged = errors.New("not what was written")

// reader takes bytes one after the other; once bad it takes nothing more.
type reader struct {
	src  []byte
	at   int
	bad  bool
	lent bool // bytes may stay where they are
}

func (r *reader) left() uint64 { return uint64(len(r.src) - r.at) }

func (r *reader) take(n uint64) []byte {
	if r.bad || n > r.left() {
		r.bad = true
		return nil
	}
	from := r.at
	r.at += int(n)
	return r.src[from:r.at]
}

// numbers reads as many numbers as there is room for.
func (r *reader) numbers(room []float64) {
	b := r.take(8 * uint64(len(room)))
	if r.bad {
		return
	}
	for i := range room {
		room[i] = math.Float64frombits(binary.LittleEndian.Uint64(b[8*i:]))
	}
}

func (r *reader) unsigned() uint64 {
	x, n := binary.Uvarint(r.src[r.at:])
	if r.bad || n <= 0 {
		r.bad = true
		return 0
	}
	r.at += n
	return x
}

func (r *reader) signed() int64 {
	x, n := binary.Varint(r.src[r.at:])
	if r.bad || n <= 0 {
		r.bad = true
		return 0
	}
	r.at += n
	return x
}

// flag reads a 0 or a 1.
func (r *reader) flag() bool {
	b := r.take(1)
	if r.bad || b[0] > 1 {
		r.bad = true
		return false
	}
	return b[0] == 1
}

// count reads how many items follow, one more than there are; there is at least a
// byte for each item that takes any.
func (r *reader) count() (n int, there bool) {
	x := r.unsigned()
	if r.bad || x == 0 {
		return 0, false
	}
	if x-1 > r.left() {
		r.bad = true
		return 0, false
	}
	return int(x - 1), true
}
