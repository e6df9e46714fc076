package answer

import (
	"strings"

	"soletrial/pipeline/decide"
)

// VariantWords says what an analysis of the robustness does otherwise than a published one
// with the given drift; "" where it is the same.
func VariantWords(v decide.Variant, drift decide.Drift) string {
	var words []string
	if v.Window != decide.PublishedWindow {
		words = append(words, string(v.Window)+" window")
	}
	if v.Drift != drift {
		words = append(words, "drift "+decide.DriftNames[v.Drift])
	}
	if v.Exponent != decide.MeanExponent {
		words = append(words, "exponent "+string(v.Exponent))
	}
	switch {
	case v.LeftOutBlock != "":
		words = append(words, "without block "+v.LeftOutBlock+" of "+v.LeftOutSession)
	case v.LeftOutSession != "":
		words = append(words, "without "+v.LeftOutSession)
	}
	switch v.Shared {
	case decide.SharedWholly:
		words = append(words, "sensor error shared by power and speed")
	case decide.SharedNot:
		words = append(words, "sensor error not shared")
	}
	return strings.Join(words, ", ")
}
