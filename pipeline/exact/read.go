package exact

import (
	"encoding/binary"
	"errors"
	"math"
	"reflect"
)

// ErrDamaged is why bytes cannot be read: they are not what [Append] wrote of a
// value of that type.
var ErrDamaged = errors.New("not what was written")

// Read reads a value that [Append] wrote; nothing may follow it. Bytes that are
// damaged are an error, or another value: they are not told from others that could
// have been written, so whoever keeps bytes keeps a sum of them too. They never make
// more items than they have bytes.
func Read[T any](src []byte) (value T, err error) {
	r := reader{src: src}
	r.value(reflect.ValueOf(&value).Elem())
	if r.bad || len(r.src) > 0 {
		var none T
		return none, ErrDamaged
	}
	return value, nil
}

// reader takes bytes off the front; once bad it takes nothing more.
type reader struct {
	src []byte
	bad bool
}

func (r *reader) take(n uint64) []byte {
	if r.bad || n > uint64(len(r.src)) {
		r.bad = true
		return nil
	}
	taken := r.src[:n]
	r.src = r.src[n:]
	return taken
}

func (r *reader) unsigned() uint64 {
	x, n := binary.Uvarint(r.src)
	if n <= 0 {
		r.bad = true
		return 0
	}
	r.src = r.src[n:]
	return x
}

func (r *reader) signed() int64 {
	x, n := binary.Varint(r.src)
	if n <= 0 {
		r.bad = true
		return 0
	}
	r.src = r.src[n:]
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
	if x-1 > uint64(len(r.src)) {
		r.bad = true
		return 0, false
	}
	return int(x - 1), true
}

func (r *reader) value(v reflect.Value) {
	if r.bad {
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(string(r.take(r.unsigned())))
	case reflect.Float64:
		if b := r.take(8); !r.bad {
			v.SetFloat(math.Float64frombits(binary.LittleEndian.Uint64(b)))
		}
	case reflect.Bool:
		v.SetBool(r.flag())
	case reflect.Int, reflect.Int64, reflect.Int32:
		v.SetInt(r.signed())
	case reflect.Uint8, reflect.Uint32, reflect.Uint64:
		v.SetUint(r.unsigned())
	case reflect.Struct:
		for i := range v.NumField() {
			r.value(v.Field(i))
		}
	case reflect.Array:
		r.items(v)
	case reflect.Slice:
		r.slice(v)
	case reflect.Pointer:
		if r.flag() {
			v.Set(reflect.New(v.Type().Elem()))
			r.value(v.Elem())
		}
	case reflect.Map:
		r.table(v)
	default:
		panic("exact: cannot read a " + v.Type().String())
	}
}

func (r *reader) items(v reflect.Value) {
	for i := range v.Len() {
		r.value(v.Index(i))
	}
}

func (r *reader) slice(v reflect.Value) {
	n, there := r.count()
	switch {
	case !there:
	case v.Type().Elem().Kind() == reflect.Uint8:
		v.SetBytes(append([]byte{}, r.take(uint64(n))...))
	default:
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		r.items(v)
	}
}

func (r *reader) table(v reflect.Value) {
	n, there := r.count()
	if !there {
		return
	}
	v.Set(reflect.MakeMapWithSize(v.Type(), n))
	for range n {
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		r.value(key)
		r.value(value)
		if r.bad {
			return
		}
		v.SetMapIndex(key, value)
	}
}
