package cli

import (
	"fmt"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/units"
)

// minDraws is how many draws there must be for a test to be worth a line: of
// fewer not even one in four can be as far from zero.
const minDraws = 8

// printRandomisation prints, under the comparisons, the tests by the draw of the orders.
func (a *app) printRandomisation(result *derive.Result, shown []*compare.Comparison) {
	label := compare.Labels(result.Dataset)
	printed, few := false, 0
	for _, c := range shown {
		if c.Randomisation.Draws < minDraws {
			few += min(1, c.Randomisation.Sessions)
			continue
		}
		if !printed {
			a.Printf("how often the draw of the orders alone would do as much\n")
			printed = true
		}
		a.Printf("  %-25s p = %-9s %s\n", voice.Shorten(label(c.Shoe)+" - "+label(c.Reference), 25),
			units.FormatSignificant(c.Randomisation.P,
				2), c.Randomisation.Basis(result.Dataset.Facts.Method.Confidence))
	}
	if !printed && few > 0 {
		a.PrintHanging("", fmt.Sprintf("The sessions run as drawn leave %s fewer than %d draws that differ in the "+
			"two shoes alone, too few for a test by the draw.", units.Count(few, "comparison"), minDraws))
		a.Printf("\n")
	}
	if printed {
		a.PrintHanging("  ", "(randomisation test over the orders that the plans could have drawn, if the two shoes "+
			"made no difference; it rests on no model, and few sessions leave few orders)")
		a.Printf("\n")
	}
}
