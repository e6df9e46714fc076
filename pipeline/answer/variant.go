package answer

import (
	"strings"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
)

// SessionName names a session by its day, "25 April 2026", and by its id too where a session
// beside it has the same day; by its id where the dataset does not have it, or not its day.
func SessionName(ds *trial.Dataset, id string) string {
	for i := range ds.Sessions {
		s := &ds.Sessions[i]
		if s.ID != id || s.Facts.Date == "" {
			continue
		}
		same := func(j int) bool {
			return j >= 0 && j < len(ds.Sessions) && ds.Sessions[j].Facts.Date == s.Facts.Date
		}
		if same(i-1) || same(i+1) || !strings.HasPrefix(id, s.Facts.Date) {
			return english.Date(s.Facts.Date) + " (" + id + ")"
		}
		return english.Date(s.Facts.Date)
	}
	return id
}

// VariantWords says what an analysis of the robustness does otherwise than a published one
// with the given drift; "" where it is the same.
func VariantWords(v decide.Variant, drift decide.Drift, ds *trial.Dataset) string {
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
		words = append(words, "without block "+v.LeftOutBlock+" of "+SessionName(ds, v.LeftOutSession))
	case v.LeftOutSession != "":
		words = append(words, "without "+SessionName(ds, v.LeftOutSession))
	}
	switch v.Shared {
	case decide.SharedWholly:
		words = append(words, "sensor error shared by power and speed")
	case decide.SharedNot:
		words = append(words, "sensor error not shared")
	}
	return strings.Join(words, ", ")
}
