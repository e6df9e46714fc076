package flat_test

import (
	"encoding/csv"
	"os"
	"testing"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/flat"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// cells are the values of a row by column.
func cells(r *flat.Row) map[string]flat.Value {
	all := map[string]flat.Value{}
	for _, c := range flat.Columns() {
		all[c.Name] = c.Value(r)
	}
	return all
}

// meansOf are the sums behind the mean of every channel by session, block and column.
type meansOf map[[3]string]*struct{ weighted, seconds float64 }

func (m meansOf) add(row map[string]flat.Value, column, weight string) {
	if !row[weight].Known {
		return
	}
	key := [3]string{row["session"].Text, row["block"].Text, column}
	if m[key] == nil {
		m[key] = &struct{ weighted, seconds float64 }{}
	}
	m[key].weighted += row[column].Number * row[weight].Number
	m[key].seconds += row[weight].Number
}

var weightOf = map[string]string{
	"power_w": "power_weight_s", "speed_mps": "speed_weight_s", "cadence_spm": "cadence_weight_s",
	"step_length_m": "step_length_weight_s", "contact_ms": "contact_weight_s",
	"oscillation_cm": "oscillation_weight_s", "heart_rate_bpm": "heart_rate_weight_s",
}

// Every mean in blocks.csv of the demonstration that comes from a recording comes out of the
// table to its last printed digit, and every sample stands in it once.
func TestTableGivesThePublishedMeans(t *testing.T) {
	folder, problems := plaintext.Open(os.DirFS("../../data"), yamltext.Read, 1)
	sessions, problems, err := derive.Blocks(folder, problems, derive.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	// The table's rows, summed up by block.
	means, recorded, rows := meansOf{}, 0, 0
	for i := range sessions {
		session := &folder.Dataset.Sessions[i]
		recordings, _ := folder.Recordings(session)
		for _, part := range flat.Recordings("demo", &folder.Dataset, session, &sessions[i], recordings) {
			for row := range part.Rows() {
				rows++
				if row.Block() == "" {
					continue
				}
				row := cells(row)
				for column, weight := range weightOf {
					means.add(row, column, weight)
				}
			}
		}
		for _, r := range recordings {
			recorded += r.Samples.Len()
		}
	}
	if rows != recorded || rows == 0 {
		t.Errorf("%d rows of %d samples", rows, recorded)
	}
	// The published table against them.
	compared := 0
	for _, row := range published(t) {
		if session := folder.Dataset.Session(row["session"]); len(session.Facts.Recordings) == 0 {
			continue
		}
		for o := range trial.OutcomeCount {
			column := o.Info().Column
			sum := means[[3]string{row["session"], row["block"], column}]
			if weightOf[column] == "" || row[column] == "" {
				continue
			}
			if sum == nil {
				t.Errorf("%s block %s: no %s in the table", row["session"], row["block"], column)
				continue
			}
			compared++
			if got := units.FormatDecimal(sum.weighted/sum.seconds, o.Decimals()); got != row[column] {
				t.Errorf("%s block %s: %s is %s, published %s", row["session"], row["block"], column, got, row[column])
			}
		}
	}
	if compared < 200 {
		t.Errorf("only %d means compared", compared)
	}
}

func published(t *testing.T) (rows []map[string]string) {
	t.Helper()
	file, err := os.Open("../../data/derived/blocks.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, cell := range record {
			row[records[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows
}

// Three samples of a second, at 0, 1 and 2 s of a device that started 10 s late. Blocks a
// from 10 s to 11.5 s and b from 11.5 s to 12 s, nothing trimmed: by hand, the second sample
// counts half a second in each, and the third begins after both.
func TestSampleAcrossTwoBlocks(t *testing.T) {
	ds := &trial.Dataset{}
	ds.Facts.Method, ds.Facts.Limits = trial.DefaultMethod(), trial.DefaultLimits()
	ds.Facts.Method.Trim = trial.Trim{HeartRateHeadS: units.Missing}
	samples := &trial.Samples{Elapsed: []float64{0, 1, 2}}
	samples.Values[trial.SpeedMps] = []float64{3, 4, 5}
	recordings := []trial.Recording{{Samples: samples, Fact: trial.RecordingFact{File: "w.csv", OffsetS: 10}}}
	session := &trial.Session{ID: "s", Facts: trial.SessionFacts{Date: "2026-05-01", Effort: "power", Runner: "me"}}
	session.Blocks = []trial.Block{{ID: "a", Shoe: "x", Start: 10, End: 11.5, Target: 250},
		{ID: "b", Shoe: "y", Start: 11.5, End: 12, Target: units.Missing}}
	result := derive.Session(ds, session, recordings)
	var got [][4]any
	for row := range flat.Recordings("d", ds, session, &result, recordings)[0].Rows() {
		c := cells(row)
		got = append(got, [4]any{c["session_s"].Number, c["block"].Text, c["speed_weight_s"].Number, c["target"].Text})
		if c["device"].Known || c["power_w"].Known || c["included"].Known != (c["block"].Text != "") {
			t.Errorf("unknown values are known: %+v", c)
		}
	}
	want := [][4]any{{10.0, "a", 1.0, "250"}, {11.0, "a", 0.5, "250"}, {11.0, "b", 0.5, ""}, {12.0, "", 0.0, ""}}
	if len(got) != len(want) {
		t.Fatalf("rows %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("row %d: %v, want %v", i, got[i], want[i])
		}
	}
}
