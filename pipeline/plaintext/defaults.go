package plaintext

import (
	"reflect"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// fillDefaults gives every setting that a dataset leaves out its default. A
// setting that is given stays, 0 too; ranges are filled in channel by channel.
func fillDefaults(facts *trial.DatasetFacts) {
	fill(reflect.ValueOf(&facts.Method).Elem(), reflect.ValueOf(trial.DefaultMethod()))
	fill(reflect.ValueOf(&facts.Limits).Elem(), reflect.ValueOf(trial.DefaultLimits()))
}

func fill(into, from reflect.Value) {
	switch into.Kind() {
	case reflect.Struct:
		for i := range into.NumField() {
			fill(into.Field(i), from.Field(i))
		}
	case reflect.Float64:
		if !units.Known(into.Float()) {
			into.Set(from)
		}
	case reflect.Map:
		fillMap(into, from)
	default:
		if into.IsZero() {
			into.Set(from)
		}
	}
}

// fillMap adds the keys that are not there; the order does not matter.
func fillMap(into, from reflect.Value) {
	if into.IsNil() && from.Len() > 0 {
		into.Set(reflect.MakeMap(into.Type()))
	}
	for _, key := range from.MapKeys() {
		if !into.MapIndex(key).IsValid() {
			into.SetMapIndex(key, from.MapIndex(key))
		}
	}
}
