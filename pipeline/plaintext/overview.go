package plaintext

import (
	"io/fs"

	"soletrial/pipeline/trial"
)

// ReadOverview reads what names a dataset and its shoes, dataset.yaml and shoes.csv,
// and nothing else, for those who have the derived tables and need no more. The
// dataset has no runners, venues and sessions.
func ReadOverview(fsys fs.FS, docs Documents) (trial.Dataset, []trial.Problem) {
	var r report
	var d trial.Dataset
	f := &Folder{fsys: fsys, docs: docs}
	var known []string
	d.Shoes, known = register(f, shoesFile, true, false, &r, shoeRow.shoe, func(x trial.Shoe) string { return x.ID })
	if n := f.document(datasetFile, &r); n != nil {
		d.Facts = readDatasetFacts(n, known, &r)
	}
	return d, r.sorted()
}
