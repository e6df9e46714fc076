package answer

import (
	"slices"
	"strings"

	"soletrial/pipeline/decide"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
)

// SessionName names the session with an id as [SessionNameAt] does; by its id where the dataset
// does not have it.
func SessionName(ds *trial.Dataset, id string) string {
	i := slices.IndexFunc(ds.Sessions, func(s trial.Session) bool { return s.ID == id })
	if i < 0 {
		return id
	}
	return SessionNameAt(ds, i)
}

// SessionNameAt names a session of the dataset, by its place in the list, by its day: "25 April
// 2026". Its id follows where it does not begin with the day or a session beside it has the same
// day; the id alone names it where the day is missing.
func SessionNameAt(ds *trial.Dataset, i int) string {
	s := &ds.Sessions[i]
	day := s.Facts.Date
	if day == "" {
		return s.ID
	}
	same := func(j int) bool { return j >= 0 && j < len(ds.Sessions) && ds.Sessions[j].Facts.Date == day }
	if same(i-1) || same(i+1) || !strings.HasPrefix(s.ID, day) {
		return english.Date(day) + " (" + s.ID + ")"
	}
	return english.Date(day)
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
