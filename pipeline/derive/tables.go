package derive

import (
	"iter"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
)

// table is a derived table with columns: its text, and its rows for encoding/json.
type table struct {
	name    string
	columns []Column
	text    func(*Result) []byte
	json    func(*Result) []map[string]any
}

// tableOf is a table from its columns. Expected is about how many bytes there will be; nil
// where that does not matter.
func tableOf[Row any](name string, columns []column[Row], rows func(*Result) iter.Seq[Row],
	expected func(*Result) int) table {
	return table{
		name: name, columns: described(columns),
		text: func(r *Result) []byte {
			size := 0
			if expected != nil {
				size = expected(r)
			}
			return csvTable(columns, rows(r), size)
		},
		json: func(r *Result) []map[string]any {
			list := []map[string]any{}
			for row := range rows(r) {
				list = append(list, jsonRow(columns, row))
			}
			return list
		},
	}
}

// jsonRow returns a row by column, not rounded, null for what is not known.
func jsonRow[Row any](columns []column[Row], row Row) map[string]any {
	values := make(map[string]any, len(columns))
	for i := range columns {
		values[columns[i].Name] = columns[i].value(row).json()
	}
	return values
}

// withColumns are the derived tables that have columns, sorted by name.
var withColumns = []table{
	tableOf("analyses.csv", analysisColumns, func(r *Result) iter.Seq[*analysisRow] { return analysisRows(r.Answers) },
		nil),
	tableOf("blocks.csv", blockColumns, func(r *Result) iter.Seq[*blockRow] { return blockRows(r.Sessions) },
		func(r *Result) int { return blockBytes * countBlocks(r.Sessions) }),
	tableOf("comparisons.csv", comparisonColumns,
		func(r *Result) iter.Seq[*compare.Comparison] { return pointers(r.Compare.Comparisons) },
		func(r *Result) int { return 400 * len(r.Compare.Comparisons) }),
	tableOf("decisions.csv", decisionColumns, func(r *Result) iter.Seq[*decisionRow] { return decisionRows(r.Answers) },
		nil),
	tableOf("findings.csv", findingColumns, func(r *Result) iter.Seq[*trial.Finding] { return pointers(r.Findings) },
		func(r *Result) int { return 200 * len(r.Findings) }),
	tableOf("forecast.csv", forecastColumns, func(r *Result) iter.Seq[*forecast.Row] { return pointers(r.Forecasts) },
		nil),
	tableOf("progress.csv", progressColumns, func(r *Result) iter.Seq[*progressRow] { return progressRows(r.Progress) },
		nil),
	tableOf("ranking.csv", rankingColumns, rankingRows, nil),
	tableOf("sensor.csv", sensorColumns,
		func(r *Result) iter.Seq[*sensor.Row] { return pointers(r.Sensor.Dataset, r.Sensor.Sessions) },
		func(r *Result) int { return 60 * (len(r.Sensor.Dataset) + len(r.Sensor.Sessions)) }),
	tableOf("sessions.csv", sessionColumns,
		func(r *Result) iter.Seq[*compare.SessionComparison] { return pointers(r.Compare.Sessions) },
		func(r *Result) int { return 420 * len(r.Compare.Sessions) }),
}

// tables writes all derived tables, sorted by name.
func tables(r *Result, workers int) []Table {
	// Each needs nothing of the others.
	written := parallel.Map(workers, len(withColumns), func(i int) Table {
		return Table{withColumns[i].name, withColumns[i].text(r)}
	})
	written = append(written, Table{"inputs.sha256", inputsTable(r)})
	stable.Sort(written, func(a, b Table) int { return strings.Compare(a.Name, b.Name) })
	return written
}

// TableJSON returns the rows of a derived table such as "decisions.csv" for encoding/json:
// every column by its name, numbers not rounded, null for a blank cell. It returns nil for
// a table that there is not.
func TableJSON(r *Result, name string) []map[string]any {
	for _, t := range withColumns {
		if t.name == name {
			return t.json(r)
		}
	}
	return nil
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

// blockBytes is about how long a row of blocks.csv is.
const blockBytes = 180

// BlocksTable writes the derived table of the blocks of some sessions: one row for
// each block, with the mean of every outcome.
func BlocksTable(sessions []SessionResult) []byte {
	return csvTable(blockColumns, blockRows(sessions), blockBytes*countBlocks(sessions))
}

func blockRows(sessions []SessionResult) iter.Seq[*blockRow] {
	return func(yield func(*blockRow) bool) {
		for i := range sessions {
			for j := range sessions[i].Blocks {
				if !yield(&blockRow{sessions[i].ID, &sessions[i].Blocks[j]}) {
					return
				}
			}
		}
	}
}

// FindingText is a finding's message with the written reason that overrides it.
func FindingText(f trial.Finding) string {
	if f.Override == "" {
		return f.Message
	}
	return f.Message + " (overridden: " + f.Override + ")"
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
