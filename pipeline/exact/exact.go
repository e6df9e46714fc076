// Package exact writes values as bytes and reads them back the same to the last
// bit.
//
// Its opinions: a number is its bits, so that a missing one stays missing and
// nothing is rounded; the same value gives the same bytes, so that they can name
// it; and bytes say nothing of the type they were written from, so that whoever keeps
// them keeps the sum of the program beside them. It is for what one program keeps for
// itself, not a format for others.
package exact

import (
	"reflect"
	"slices"
)

// Append appends a value: a struct, slice, array, pointer or map with text keys of
// such, texts, truth values, whole numbers and numbers. All fields are exported, and
// no type holds itself; anything else is a mistake of the program, and a panic.
func Append[T any](dst []byte, value T) []byte {
	p, pool := planOf[T]()
	defer pool.Put(p)
	from := len(dst)
	dst, *p.place = slices.Grow(dst, p.last), value
	for _, s := range p.steps {
		dst = s.write(dst)
	}
	p.last = len(dst) - from
	p.clear()
	return dst
}

// Read reads a value that [Append] wrote; nothing may follow it. Bytes that are
// damaged are an error, or another value: they are not told from others that could
// have been written, so whoever keeps bytes keeps a sum of them too. They never make
// more items than they have bytes. Nothing of the value lies in src.
func Read[T any](src []byte) (T, error) { return read[T](reader{src: src}) }

// ReadOver is [Read] for who leaves src alone as long as the value is in use: its
// fields of bytes lie there.
func ReadOver[T any](src []byte) (T, error) { return read[T](reader{src: src, lent: true}) }

func read[T any](r reader) (value T, err error) {
	p, pool := planOf[T]()
	defer pool.Put(p)
	for _, s := range p.steps {
		s.read(&r)
	}
	value = *p.place
	p.clear()
	if r.bad || r.left() > 0 {
		var none T
		return none, ErrDamaged
	}
	return value, nil
}

// check panics unless values of a type can be written to their last field.
func check(t reflect.Type, above []reflect.Type) {
	if slices.Contains(above, t) {
		panic("exact: " + t.String() + " holds itself")
	}
	above = append(above, t)
	switch t.Kind() {
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.IsExported() {
				panic("exact: " + t.String() + "." + f.Name + " is not exported")
			}
			check(f.Type, above)
		}
	case reflect.Array, reflect.Slice, reflect.Pointer:
		check(t.Elem(), above)
	case reflect.Map:
		check(t.Key(), above)
		check(t.Elem(), above)
	}
}
