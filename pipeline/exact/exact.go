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
	"encoding/binary"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
)

// Append appends a value: a struct, slice, array, pointer or map with text keys of
// such, texts, truth values, whole numbers and numbers. All fields are exported;
// anything else is a mistake of the program, and a panic.
func Append(dst []byte, value any) []byte { return appendValue(dst, reflect.ValueOf(value)) }

func appendValue(dst []byte, v reflect.Value) []byte {
	switch v.Kind() {
	case reflect.String:
		dst = binary.AppendUvarint(dst, uint64(v.Len()))
		return append(dst, v.String()...)
	case reflect.Float64:
		return binary.LittleEndian.AppendUint64(dst, math.Float64bits(v.Float()))
	case reflect.Bool:
		if v.Bool() {
			return append(dst, 1)
		}
		return append(dst, 0)
	case reflect.Int, reflect.Int64, reflect.Int32:
		return binary.AppendVarint(dst, v.Int())
	case reflect.Uint8, reflect.Uint32, reflect.Uint64:
		return binary.AppendUvarint(dst, v.Uint())
	case reflect.Struct:
		for i := range v.NumField() {
			dst = appendValue(dst, v.Field(i))
		}
		return dst
	case reflect.Array:
		return appendItems(dst, v)
	case reflect.Slice:
		if v.IsNil() {
			return append(dst, 0)
		}
		dst = binary.AppendUvarint(dst, uint64(v.Len())+1)
		if v.Type().Elem().Kind() == reflect.Uint8 {
			return append(dst, v.Bytes()...)
		}
		return appendItems(dst, v)
	case reflect.Pointer:
		if v.IsNil() {
			return append(dst, 0)
		}
		return appendValue(append(dst, 1), v.Elem())
	case reflect.Map:
		return appendMap(dst, v)
	}
	panic("exact: cannot write a " + v.Type().String())
}

func appendItems(dst []byte, v reflect.Value) []byte {
	for i := range v.Len() {
		dst = appendValue(dst, v.Index(i))
	}
	return dst
}

// appendMap writes a map in the order of its keys.
func appendMap(dst []byte, v reflect.Value) []byte {
	if v.IsNil() {
		return append(dst, 0)
	}
	values := map[string]reflect.Value{}
	for _, key := range v.MapKeys() {
		values[key.String()] = v.MapIndex(key)
	}
	dst = binary.AppendUvarint(dst, uint64(len(values))+1)
	for _, key := range slices.Sorted(maps.Keys(values)) {
		dst = appendValue(appendValue(dst, reflect.ValueOf(key)), values[key])
	}
	return dst
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
