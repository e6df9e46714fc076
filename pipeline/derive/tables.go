package derive

import (
	"iter"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/trial"
)

// tables writes all derived tables, sorted by name.
func tables(r *Result, workers int) []Table {
	writers := []struct {
		name string
		text func(*Result) []byte
	}{
		{"analyses.csv", func(r *Result) []byte { return csvTable(analysisColumns, analysisRows(r.Answers), 0) }},
		{"blocks.csv", func(r *Result) []byte { return BlocksTable(r.Sessions) }},
		{"comparisons.csv", func(r *Result) []byte {
			return csvTable(comparisonColumns, pointers(r.Compare.Comparisons), 400*len(r.Compare.Comparisons))
		}},
		{"decisions.csv", func(r *Result) []byte { return csvTable(decisionColumns, decisionRows(r.Answers), 0) }},
		{"findings.csv", func(r *Result) []byte {
			return csvTable(findingColumns, pointers(r.Findings), 200*len(r.Findings))
		}},
		{"forecast.csv", func(r *Result) []byte { return csvTable(forecastColumns, pointers(r.Forecasts), 0) }},
		{"inputs.sha256", inputsTable},
		{"progress.csv", func(r *Result) []byte { return csvTable(progressColumns, progressRows(r.Progress), 0) }},
		{"ranking.csv", func(r *Result) []byte { return csvTable(rankingColumns, rankingRows(r), 0) }},
		{"sensor.csv", func(r *Result) []byte {
			rows := len(r.Sensor.Dataset) + len(r.Sensor.Sessions)
			return csvTable(sensorColumns, pointers(r.Sensor.Dataset, r.Sensor.Sessions), 60*rows)
		}},
		{"sessions.csv", func(r *Result) []byte {
			return csvTable(sessionColumns, pointers(r.Compare.Sessions), 420*len(r.Compare.Sessions))
		}},
	}
	// Each needs nothing of the others.
	return parallel.Map(workers, len(writers), func(i int) Table {
		return Table{writers[i].name, writers[i].text(r)}
	})
}

// pointers yields the places of lists one after the other.
func pointers[Row any](lists ...[]Row) iter.Seq[*Row] {
	return func(yield func(*Row) bool) {
		for _, list := range lists {
			for i := range list {
				if !yield(&list[i]) {
					return
				}
			}
		}
	}
}

// BlocksTable writes the derived table of the blocks of some sessions: one row for
// each block, with the mean of every outcome.
func BlocksTable(sessions []SessionResult) []byte {
	return csvTable(blockColumns, func(yield func(blockRow) bool) {
		for i := range sessions {
			for j := range sessions[i].Blocks {
				if !yield(blockRow{sessions[i].ID, &sessions[i].Blocks[j]}) {
					return
				}
			}
		}
	}, 180*countBlocks(sessions))
}

// FindingText is a finding's message with the written reason that settles it.
func FindingText(f trial.Finding) string {
	if f.Override == "" {
		return f.Message
	}
	return f.Message + " (settled: " + f.Override + ")"
}

// ComparisonJSON returns what comparisons.csv says of a comparison, by column and not
// rounded, for encoding/json; blank cells are left out.
func ComparisonJSON(c *compare.Comparison) map[string]any {
	values := make(map[string]any, len(comparisonColumns))
	for _, column := range comparisonColumns {
		if v := column.value(c).json(); v != nil && v != "" {
			values[column.Name] = v
		}
	}
	return values
}

// inputsTable is in the format of the common sha256sum program, with paths
// relative to the dataset.
func inputsTable(r *Result) []byte {
	bytes := 0
	for i := range r.Inputs {
		bytes += len(r.Inputs[i].SHA256) + len("  ") + len(r.Inputs[i].Path) + len("\n")
	}
	text := make([]byte, 0, bytes)
	for i := range r.Inputs {
		in := &r.Inputs[i]
		text = append(append(append(append(text, in.SHA256...), "  "...), in.Path...), '\n')
	}
	return text
}
