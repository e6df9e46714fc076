package plaintext

import (
	"fmt"
	"reflect"
	"slices"

	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// bind fills a struct of package trial from a document, reporting every key
// that is unknown, repeated or missing and every value that is not of its kind.
// Numbers that are not given become missing.
func bind[T any](n *Node, r *report) T {
	var into T
	b := binder{r}
	b.structure(n, reflect.ValueOf(&into).Elem(), "")
	return into
}

type binder struct{ *report }

// complain notes a problem with the value of a key.
func (b binder) complain(at trial.Position, key, hint, format string, args ...any) {
	message := fmt.Sprintf(format, args...)
	if key != "" {
		message = key + ": " + message
	}
	b.add(trial.Problem{At: at, Message: message, Hint: hint})
}

// value fills a value of any kind that package trial uses.
func (b binder) value(n *Node, into reflect.Value, key string, allowed constraint) {
	if n.Blank() {
		clear(into)
		return
	}
	switch into.Kind() {
	case reflect.Struct:
		b.structure(n, into, key)
	case reflect.Slice:
		b.list(n, into, key, allowed)
	case reflect.Map:
		b.dictionary(n, into, key)
	default:
		b.scalar(n, into, key, allowed)
	}
}

// structure fills a struct from a mapping. A contributor may be given by name.
func (b binder) structure(n *Node, into reflect.Value, key string) {
	clear(into)
	if n.Blank() {
		n = &Node{At: n.At, Kind: Mapping}
	}
	if name, ok := into.Addr().Interface().(*trial.Contributor); ok && n.Kind == Scalar {
		name.Name = b.words(n, key)
		return
	}
	if n.Kind != Mapping {
		b.complain(n.At, key, "write its keys below it, each on a line of its own", "%s where keys are expected",
			n.Kind)
		return
	}
	fields := fieldsOf(into.Type())
	b.keys(n, fields)
	for _, f := range fields {
		given := n.Get(f.key)
		if f.required && (given == nil || given.saysNothing()) {
			b.missing(n, given, key, f.key)
		} else if given != nil {
			b.value(given, into.Field(f.index), f.key, f.allowed)
		}
	}
}

func (b binder) missing(n, given *Node, parent, key string) {
	if given != nil {
		b.complain(given.At, key, "fill it in", "is blank")
		return
	}
	b.complain(n.At, parent, "add it", "key %q is missing", key)
}

// keys reports unknown and repeated keys of a mapping.
func (b binder) keys(n *Node, fields []field) {
	known := make([]string, len(fields))
	for i, f := range fields {
		known[i] = f.key
	}
	b.repeated(n)
	for _, pair := range n.Pairs {
		if !slices.Contains(known, pair.Key) {
			b.complain(pair.At, "", suggestOr(pair.Key, known, "the keys here are "+english.List(known, "or")),
				"unknown key %q",
				pair.Key)
		}
	}
}

func (b binder) repeated(n *Node) {
	seen := map[string]bool{}
	for _, pair := range n.Pairs {
		if seen[pair.Key] {
			b.complain(pair.At, "", "keep one of the two", "key %q is here twice", pair.Key)
		}
		seen[pair.Key] = true
	}
}

// list fills a slice from a list.
func (b binder) list(n *Node, into reflect.Value, key string, allowed constraint) {
	if n.Kind != Sequence {
		b.complain(n.At, key, "start each item on a line of its own with a dash", "%s where a list is expected",
			n.Kind)
		return
	}
	if len(n.Items) < allowed.minItems || allowed.maxItems > 0 && len(n.Items) > allowed.maxItems {
		b.complain(n.At, key, fmt.Sprintf("write %d values, such as [1, 2]", allowed.minItems),
			"the list has %d values", len(n.Items))
		return
	}
	into.Set(reflect.MakeSlice(into.Type(), len(n.Items), len(n.Items)))
	for i, item := range n.Items {
		if item.Blank() {
			b.complain(item.At, key, "fill it in or remove it", "an item is blank")
		}
		b.value(item, into.Index(i), key, constraint{span: allowed.span})
	}
}

// dictionary fills a map with keys of the person's choosing.
func (b binder) dictionary(n *Node, into reflect.Value, key string) {
	if n.Kind != Mapping {
		b.complain(n.At, key, "write its keys below it, each on a line of its own", "%s where keys are expected",
			n.Kind)
		return
	}
	b.repeated(n)
	into.Set(reflect.MakeMap(into.Type()))
	for _, pair := range n.Pairs {
		value := reflect.New(into.Type().Elem()).Elem()
		b.value(pair.Value, value, pair.Key, constraint{})
		into.SetMapIndex(reflect.ValueOf(pair.Key), value)
	}
}

// clear makes every number of a value missing and everything else empty.
func clear(into reflect.Value) {
	switch into.Kind() {
	case reflect.Float64:
		into.SetFloat(units.Missing)
	case reflect.Struct:
		for i := range into.NumField() {
			clear(into.Field(i))
		}
	default:
		into.SetZero()
	}
}
