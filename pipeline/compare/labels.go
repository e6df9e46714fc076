package compare

import "soletrial/pipeline/trial"

// Labels returns a function from shoe id to the shoe's label, or the id where
// the register has none.
func Labels(ds *trial.Dataset) func(string) string {
	return func(id string) string {
		if s := ds.Shoe(id); s != nil && s.Label != "" {
			return s.Label
		}
		return id
	}
}
