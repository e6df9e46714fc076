package exact

import (
	"reflect"
	"sync"
)

// A type is taken apart once: what it consists of becomes a list of steps, each
// bound to its part of one value, the place. Whatever is written is put into the
// place first, and what is read is taken from there, so that a step deals with a
// text or a number and does not ask what it is.

// plan is that of a type that is written and read as a whole. Only one goroutine
// may follow it at a time.
type plan[T any] struct {
	place *T
	steps []step
	last  int // bytes written last
}

var plans sync.Map // pools of plans by type

func planOf[T any]() (*plan[T], *sync.Pool) {
	t := reflect.TypeFor[T]()
	pool, known := plans.Load(t)
	if !known {
		check(t, nil)
		pool, _ = plans.LoadOrStore(t, &sync.Pool{New: func() any {
			place := new(T)
			return &plan[T]{place: place, steps: steps(nil, reflect.ValueOf(place).Elem())}
		}})
	}
	return pool.(*sync.Pool).Get().(*plan[T]), pool.(*sync.Pool)
}

// clear lets go of what the last value held.
func (p *plan[T]) clear() {
	var none T
	*p.place = none
}

// step writes and reads a part of a place.
type step interface {
	write(dst []byte) []byte
	read(r *reader)
}

// steps appends those of a part of a place.
func steps(to []step, v reflect.Value) []step {
	switch v.Kind() {
	case reflect.String:
		return append(to, text{at[string](v)})
	case reflect.Float64:
		if n := len(to); n > 0 {
			if before, are := to[n-1].(*numbers); are {
				before.at = append(before.at, at[float64](v))
				return to
			}
		}
		return append(to, &numbers{[]*float64{at[float64](v)}})
	case reflect.Bool:
		return append(to, flag{at[bool](v)})
	case reflect.Int, reflect.Int64, reflect.Int32:
		return append(to, signed{v})
	case reflect.Uint8, reflect.Uint32, reflect.Uint64:
		return append(to, unsigned{v})
	case reflect.Struct:
		for i := range v.NumField() {
			to = steps(to, v.Field(i))
		}
		return to
	case reflect.Array:
		return arraySteps(to, v)
	case reflect.Slice:
		return append(to, sliceStep(v))
	case reflect.Pointer:
		return append(to, pointer{v, newItem(v.Type().Elem())})
	case reflect.Map:
		return append(to, table{v, newItem(v.Type().Key()), newItem(v.Type().Elem())})
	}
	panic("exact: cannot keep a " + v.Type().String())
}

// at is where a part lies, by the type that its own is made of.
func at[T any](v reflect.Value) *T {
	return v.Addr().Convert(reflect.TypeFor[*T]()).Interface().(*T)
}

func arraySteps(to []step, v reflect.Value) []step {
	switch whole := v.Slice(0, v.Len()); v.Type().Elem() {
	case reflect.TypeFor[byte]():
		return append(to, array{whole.Bytes()})
	case reflect.TypeFor[float64]():
		return append(to, row{whole.Interface().([]float64)})
	}
	for i := range v.Len() {
		to = steps(to, v.Index(i))
	}
	return to
}

func sliceStep(v reflect.Value) step {
	switch v.Type().Elem() {
	case reflect.TypeFor[byte]():
		return bytes{at[[]byte](v)}
	case reflect.TypeFor[float64]():
		return list{at[[]float64](v)}
	}
	return items{v, newItem(v.Type().Elem())}
}

// item is a plan for parts that there may be many of, one after the other.
type item struct {
	place reflect.Value
	steps []step
}

func newItem(t reflect.Type) item {
	place := reflect.New(t).Elem()
	return item{place, steps(nil, place)}
}

func (i item) write(dst []byte, value reflect.Value) []byte {
	i.place.Set(value)
	for _, s := range i.steps {
		dst = s.write(dst)
	}
	return dst
}

// read returns the place, which the next item will be read into.
func (i item) read(r *reader) reflect.Value {
	for _, s := range i.steps {
		s.read(r)
	}
	return i.place
}
