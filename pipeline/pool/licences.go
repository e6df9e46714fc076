package pool

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/units"
)

// Named is a name and how many studies carry it.
type Named struct {
	Name    string
	Studies int
}

// Licences lists the licences of the studies, the commonest first; "" is none.
func (a *Answer) Licences() []Named {
	return tally(a.Studies, func(s *Study) []string { return []string{s.Facts.Licence} })
}

// Contributors lists who made the data, the commonest first.
func (a *Answer) Contributors() []Named {
	return tally(a.Studies, func(s *Study) []string {
		var names []string
		for _, c := range s.Facts.Contributors {
			names = append(names, c.Name)
		}
		return names
	})
}

func tally(studies []Study, of func(*Study) []string) []Named {
	counts := map[string]int{}
	for i := range studies {
		for _, name := range of(&studies[i]) {
			counts[name]++
		}
	}
	var list []Named
	for name, n := range counts { // sorted below
		list = append(list, Named{name, n})
	}
	stable.Sort(list, func(a, b Named) int {
		return cmp.Or(cmp.Compare(b.Studies, a.Studies), strings.Compare(a.Name, b.Name))
	})
	return list
}

// Terms says what stands against passing the pooled answer on under one licence,
// judged by the SPDX identifiers alone. It is no legal advice.
func (a *Answer) Terms() []string {
	var words, alike, paid []string
	for _, licence := range a.Licences() {
		name := strings.ToUpper(licence.Name)
		if name == "" {
			words = append(words, fmt.Sprintf("%s no licence: ask before you pass the answer on",
				stating(licence.Studies)))
		}
		if strings.Contains(name, "-ND") {
			words = append(words, licence.Name+" allows no derived work, and a pooled answer is one")
		}
		if strings.Contains(name, "-SA") || strings.HasPrefix(name, "ODBL") || strings.HasPrefix(name, "GPL") {
			alike = append(alike, licence.Name)
		}
		if strings.Contains(name, "-NC") {
			paid = append(paid, licence.Name)
		}
	}
	// Licences that cannot both be kept.
	if len(alike) > 1 {
		words = append(words, strings.Join(alike, " and ")+
			" each ask that derived work carries the same licence, and it cannot carry both")
	}
	for _, licence := range alike {
		if strict := slices.DeleteFunc(slices.Clone(paid), func(p string) bool { return p == licence }); len(
			strict) > 0 && len(alike) == 1 && !slices.Contains(paid, licence) {
			words = append(words, licence+" allows commercial use of derived work, "+strings.Join(strict, " and ")+
				" does not")
		}
	}
	return words
}

func stating(n int) string {
	if n == 1 {
		return "1 dataset states"
	}
	return fmt.Sprintf("%d datasets state", n)
}

// Doubts says where one id may not mean one shoe: labels that differ, and masses
// that differ by 1 g or more. Ids are all that shoes are matched by.
func (a *Answer) Doubts() []string {
	var words []string
	for _, id := range a.shoes() {
		// Its labels and masses in all datasets.
		labels, low, high := map[string]bool{}, units.Missing, units.Missing
		var names []string
		for i := range a.Studies {
			for _, shoe := range a.Studies[i].Shoes {
				if shoe.ID != id {
					continue
				}
				if key := strings.ToLower(shoe.Label); !labels[key] {
					labels[key] = true
					names = append(names, shoe.Label)
				}
				if units.Known(shoe.MassG) && !(low <= shoe.MassG) {
					low = shoe.MassG
				}
				if units.Known(shoe.MassG) && !(high >= shoe.MassG) {
					high = shoe.MassG
				}
			}
		}
		// What was found of this shoe.
		if len(names) > 1 {
			slices.Sort(names)
			words = append(words, fmt.Sprintf("%s is labelled %s", id, quoted(names)))
		}
		if high-low >= 1 {
			words = append(words, fmt.Sprintf("%s weighs from %s to %s g: another size, or another shoe?", id,
				units.FormatDecimal(low, 0), units.FormatDecimal(high, 0)))
		}
	}
	return words
}

// maxNamed is how many labels of one shoe are named.
const maxNamed = 4

func quoted(names []string) string {
	var list []string
	for i, name := range names {
		if i == maxNamed {
			list = append(list, fmt.Sprintf("%d more", len(names)-i))
			break
		}
		list = append(list, fmt.Sprintf("%q", name))
	}
	return strings.Join(list, ", ")
}

// shoes lists the ids that were pooled.
func (a *Answer) shoes() []string {
	var ids []string
	for i := range a.Pairs {
		ids = append(ids, a.Pairs[i].Shoe, a.Pairs[i].Reference)
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}
