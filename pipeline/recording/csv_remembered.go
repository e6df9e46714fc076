package recording

import (
	"maps"
	"slices"
)

// remembered says of a map where it comes from.
const remembered = ", remembered in dataset.yaml under imports"

// notThere adds to a complaint that what is remembered was of no use.
func notThere(o Options) string {
	if len(o.Remembered) == 0 {
		return ""
	}
	return "; what is remembered in dataset.yaml under imports does not decide it"
}

// chooseRemembered takes the columns of the remembered map that the file has; the
// headings speak for the others.
func (t *table) chooseRemembered(o Options, taken map[int]bool, imp *Import) error {
	for _, key := range slices.Sorted(maps.Keys(o.Remembered)) {
		wanted := o.Remembered[key]
		if _, ok := o.Columns[key]; ok {
			continue
		}
		index := slices.Index(t.headings, wanted)
		switch {
		case index < 0:
			imp.warn("%s: there is no column %q%s; it was looked for by the headings instead", key, wanted, remembered)
			continue
		case taken[index]:
			continue // the command line took it for something else
		}
		if err := t.chooseMapped(key, wanted, taken, imp); err != nil {
			return err
		}
	}
	return nil
}
