package cli

import (
	"fmt"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/units"
)

// printRandomisation prints, under the comparisons, the randomisation tests over the
// orders that the plans could have drawn.
func (a *app) printRandomisation(result *derive.Result, shown []*compare.Comparison) {
	label, confidence := compare.Labels(result.Dataset), result.Dataset.Facts.Method.Confidence
	printed, few := false, 0
	for _, c := range shown {
		if !units.Known(c.Randomisation.P) {
			few += min(1, c.Randomisation.Sessions)
			continue
		}
		if !printed {
			a.Printf("randomisation test, for these days\n")
			printed = true
		}
		a.Printf("  %-25s p = %-9s %s\n", voice.Shorten(label(c.Shoe)+" - "+label(c.Reference), 25),
			units.FormatSignificant(c.Randomisation.P, 2), c.Randomisation.Basis(confidence))
	}
	// What the numbers mean, or why there are none.
	if !printed && few > 0 {
		a.PrintHanging("", fmt.Sprintf("For %s, the sessions run as planned have fewer than %d orders in which the "+
			"two shoes change places. That is too few for a randomisation test.", units.Count(few, "comparison"),
			compare.FewestOrders))
		a.Printf("\n")
	}
	if printed {
		a.PrintHanging("  ", "(If the shoes made no difference, this share of the possible orders would still show "+
			"one at least as large on these days. It needs no model.)")
		a.Printf("\n")
	}
}
