// Package exact writes values as bytes and reads them back the same to the last
// bit.
//
// Its opinions: a number is its bits, so that a missing one stays missing and
// nothing is rounded; the same value gives the same bytes, so that they can name
// it; and there is no way to read what another layout wrote by mistake: [Layout]
// tells layouts apart, whoever keeps bytes keeps it beside them. It is for what
// one program keeps for itself, not a format for others.
package exact

import (
	"fmt"
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

// Layout describes a type down to its last field, so that two types have the same
// layout only when bytes of one can be read as the other.
func Layout[T any]() string { return layout(reflect.TypeFor[T](), nil) }

func layout(t reflect.Type, above []reflect.Type) string {
	if slices.Contains(above, t) {
		panic("exact: " + t.String() + " holds itself")
	}
	above = append(above, t)
	switch t.Kind() {
	case reflect.Struct:
		text := "{"
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.IsExported() {
				panic("exact: " + t.String() + "." + f.Name + " is not exported")
			}
			text += f.Name + " " + layout(f.Type, above) + ";"
		}
		return text + "}"
	case reflect.Array:
		return fmt.Sprintf("[%d]", t.Len()) + layout(t.Elem(), above)
	case reflect.Slice:
		return "[]" + layout(t.Elem(), above)
	case reflect.Pointer:
		return "*" + layout(t.Elem(), above)
	case reflect.Map:
		return "map[" + layout(t.Key(), above) + "]" + layout(t.Elem(), above)
	}
	return t.Kind().String()
}
