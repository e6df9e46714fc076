package exact

import (
	"encoding/binary"
	"math"
	"reflect"
	"slices"
	"strings"
)

type text struct{ at *string }

func (s text) write(dst []byte) []byte {
	return append(binary.AppendUvarint(dst, uint64(len(*s.at))), *s.at...)
}

// read makes no text anew that the place holds already, from the item before.
func (s text) read(r *reader) {
	if b := r.take(r.unsigned()); string(b) != *s.at {
		*s.at = string(b)
	}
}

// numbers are fields that follow one another.
type numbers struct{ at []*float64 }

func (s *numbers) write(dst []byte) []byte {
	for _, at := range s.at {
		dst = binary.LittleEndian.AppendUint64(dst, math.Float64bits(*at))
	}
	return dst
}

func (s *numbers) read(r *reader) {
	b := r.take(8 * uint64(len(s.at)))
	if r.bad {
		return
	}
	for i, at := range s.at {
		*at = math.Float64frombits(binary.LittleEndian.Uint64(b[8*i:]))
	}
}

type flag struct{ at *bool }

func (s flag) write(dst []byte) []byte {
	if *s.at {
		return append(dst, 1)
	}
	return append(dst, 0)
}

func (s flag) read(r *reader) { *s.at = r.flag() }

type signed struct{ at reflect.Value }

func (s signed) write(dst []byte) []byte { return binary.AppendVarint(dst, s.at.Int()) }
func (s signed) read(r *reader)          { s.at.SetInt(r.signed()) }

type unsigned struct{ at reflect.Value }

func (s unsigned) write(dst []byte) []byte { return binary.AppendUvarint(dst, s.at.Uint()) }
func (s unsigned) read(r *reader)          { s.at.SetUint(r.unsigned()) }

// array is one of bytes, and row one of numbers.
type array struct{ at []byte }

func (s array) write(dst []byte) []byte { return append(dst, s.at...) }
func (s array) read(r *reader)          { copy(s.at, r.take(uint64(len(s.at)))) }

type row struct{ at []float64 }

func (s row) write(dst []byte) []byte { return appendNumbers(dst, s.at) }
func (s row) read(r *reader)          { r.numbers(s.at) }

func appendNumbers(dst []byte, numbers []float64) []byte {
	for _, x := range numbers {
		dst = binary.LittleEndian.AppendUint64(dst, math.Float64bits(x))
	}
	return dst
}

// What may be nil is 0 then, and else one more than the number of its items.

type bytes struct{ at *[]byte }

func (s bytes) write(dst []byte) []byte {
	if *s.at == nil {
		return append(dst, 0)
	}
	return append(binary.AppendUvarint(dst, uint64(len(*s.at))+1), *s.at...)
}

func (s bytes) read(r *reader) {
	n, there := r.count()
	*s.at = nil
	switch {
	case there && r.lent:
		*s.at = slices.Clip(r.take(uint64(n)))
	case there:
		*s.at = append(make([]byte, 0, n), r.take(uint64(n))...)
	}
}

type list struct{ at *[]float64 }

func (s list) write(dst []byte) []byte {
	if *s.at == nil {
		return append(dst, 0)
	}
	return appendNumbers(binary.AppendUvarint(dst, uint64(len(*s.at))+1), *s.at)
}

func (s list) read(r *reader) {
	*s.at = nil
	if n, there := r.count(); there {
		*s.at = make([]float64, n)
		r.numbers(*s.at)
	}
}

type items struct {
	at   reflect.Value
	each item
}

func (s items) write(dst []byte) []byte {
	if s.at.IsNil() {
		return append(dst, 0)
	}
	n := s.at.Len()
	dst = binary.AppendUvarint(dst, uint64(n)+1)
	for i := range n {
		dst = s.each.write(dst, s.at.Index(i))
	}
	return dst
}

func (s items) read(r *reader) {
	n, there := r.count()
	if !there {
		s.at.SetZero()
		return
	}
	s.at.Set(reflect.MakeSlice(s.at.Type(), n, n))
	for i := 0; i < n && !r.bad; i++ {
		s.at.Index(i).Set(s.each.read(r))
	}
}

type pointer struct {
	at reflect.Value
	to item
}

func (s pointer) write(dst []byte) []byte {
	if s.at.IsNil() {
		return append(dst, 0)
	}
	return s.to.write(append(dst, 1), s.at.Elem())
}

func (s pointer) read(r *reader) {
	s.at.SetZero()
	if r.flag() {
		s.at.Set(reflect.New(s.at.Type().Elem()))
		s.at.Elem().Set(s.to.read(r))
	}
}

// table writes a map in the order of its keys.
type table struct {
	at         reflect.Value
	key, value item
}

func (s table) write(dst []byte) []byte {
	if s.at.IsNil() {
		return append(dst, 0)
	}
	keys := s.at.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
	dst = binary.AppendUvarint(dst, uint64(len(keys))+1)
	for _, key := range keys {
		dst = s.value.write(s.key.write(dst, key), s.at.MapIndex(key))
	}
	return dst
}

func (s table) read(r *reader) {
	n, there := r.count()
	if !there {
		s.at.SetZero()
		return
	}
	s.at.Set(reflect.MakeMapWithSize(s.at.Type(), n))
	for i := 0; i < n && !r.bad; i++ {
		key := s.key.read(r)
		s.at.SetMapIndex(key, s.value.read(r))
	}
}
