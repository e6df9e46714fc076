package derive

import (
	"slices"
	"strings"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
)

// tables writes all derived tables, sorted by name.
func tables(r *Result, workers int) []Table {
	writers := []struct {
		name string
		text func(*Result) []byte
	}{
		{"blocks.csv", func(r *Result) []byte { return BlocksTable(r.Sessions) }},
		{"comparisons.csv", comparisonsTable},
		{"findings.csv", findingsTable},
		{"forecast.csv", forecastTable},
		{"inputs.sha256", inputsTable},
		{"sensor.csv", sensorTable},
		{"sessions.csv", sessionsTable},
	}
	return parallel.Map(workers, len(writers), func(i int) Table {
		return Table{writers[i].name, writers[i].text(r)}
	})
}

// BlocksTable writes the derived table of the blocks of some sessions: one row for
// each block, with the mean of every outcome.
func BlocksTable(sessions []SessionResult) []byte {
	headings := []string{"session", "block", "shoe", "order", "included", "reason", "midpoint_s", "window_s", "coverage_pct"}
	for o := range trial.OutcomeCount {
		headings = append(headings, o.Info().Column)
	}
	w := newCSV(headings...)
	w.expect(countBlocks(sessions), 180)
	for i := range sessions {
		for j := range sessions[i].Blocks {
			w.block(sessions[i].ID, &sessions[i].Blocks[j])
		}
	}
	return w.text
}

func (w *csvText) block(session string, b *Block) {
	w.str(session)
	w.str(b.Block)
	w.str(b.Shoe)
	w.count(b.Order)
	w.yes(b.Included)
	w.str(b.Reason)
	w.num(b.Midpoint, 1)
	w.num(b.Window(), 1)
	w.num(b.CoveragePct, 2)
	for o := range b.Outcomes {
		w.num(b.Outcomes[o], trial.Outcome(o).Decimals())
	}
	w.end()
}

func findingsTable(r *Result) []byte {
	w := newCSV("session", "block", "rule", "severity", "value", "limit", "message")
	for i := range r.Findings {
		f := &r.Findings[i]
		w.str(f.Session)
		w.str(f.Block)
		w.str(string(f.Rule))
		w.str(string(f.Severity))
		w.num(f.Value, 4)
		w.num(f.Limit, 4)
		w.str(FindingText(*f))
		w.end()
	}
	return w.text
}

// FindingText is a finding's message with the written reason that settles it.
func FindingText(f trial.Finding) string {
	if f.Override == "" {
		return f.Message
	}
	return f.Message + " (settled: " + f.Override + ")"
}

// comparisonHeadings are the columns that comparisons.csv and sessions.csv share.
var comparisonHeadings = []string{
	"outcome", "unit", "level", "model", "shoe", "reference", "runners", "sessions", "blocks", "log_estimate", "log_se", "df",
	"estimate", "low", "high", "p_value", "p_adjusted", "between_sd", "residual_sd", "drift_per_h", "drift_se", "tipping_drift_per_block", "evidence", "adjustment", "notes",
}

func comparisonsTable(r *Result) []byte {
	w := newCSV(append(slices.Clone(comparisonHeadings), "sensor_error", "draw_p", "draw_p_at_ends", "draws", "draws_exact", "draw_sessions")...)
	for i := range r.Compare.Comparisons {
		comparisonCells(w, &r.Compare.Comparisons[i])
		w.num(r.Compare.Comparisons[i].SensorErrorPct, 4)
		drawCells(w, &r.Compare.Comparisons[i].ByDraw)
		w.end()
	}
	return w.text
}

// drawCells are empty where no session was run as its plan drew.
func drawCells(w *csvText, b *compare.ByDraw) {
	w.significant(b.P)
	w.significant(b.AtEnd)
	if b.Sessions == 0 {
		w.str("")
		w.str("")
		w.str("")
		return
	}
	w.count(b.Draws)
	w.yes(b.Exact)
	w.count(b.Sessions)
}

func comparisonCells(w *csvText, c *compare.Comparison) {
	for _, s := range []string{c.Outcome.Info().ID, c.Unit(), c.Level, string(c.Model), c.Shoe, c.Reference} {
		w.str(s)
	}
	w.count(c.Runners)
	w.count(c.Sessions)
	w.count(c.Blocks)
	w.num(c.LogEstimate, 9)
	w.num(c.LogSE, 9)
	w.num(c.DF, 4)
	w.num(c.Estimate, 4)
	w.num(c.Low, 4)
	w.num(c.High, 4)
	w.significant(c.P)
	w.significant(c.PAdjusted)
	w.num(c.BetweenSD, 9)
	w.num(c.ResidualSD, 9)
	w.num(c.DriftPerHour, 4)
	w.num(c.DriftSE, 4)
	w.num(c.TippingDrift, 4)
	w.str(string(c.Evidence))
	w.num(c.Adjustment, 4)
	w.str(strings.Join(c.Notes, "; "))
}

func forecastTable(r *Result) []byte {
	w := newCSV("shoe", "reference", "distance_m", "base_time_s", "time_change_s", "low", "high", "curve", "extrapolated")
	for i := range r.Forecasts {
		f := &r.Forecasts[i]
		w.str(f.Shoe)
		w.str(f.Reference)
		w.num(f.DistanceM, 1)
		w.num(f.BaseTimeS, 1)
		w.num(f.ChangeS, 1)
		w.num(f.LowS, 1)
		w.num(f.HighS, 1)
		w.str(f.Curve)
		w.str(strings.Join(f.Extrapolated, " "))
		w.end()
	}
	return w.text
}

// inputsTable is in the format of the common sha256sum program, with paths
// relative to the dataset.
func inputsTable(r *Result) []byte {
	inputs := r.Inputs
	bytes := 0
	for i := range inputs {
		bytes += len(inputs[i].SHA256) + len("  ") + len(inputs[i].Path) + len("\n")
	}
	text := make([]byte, 0, bytes)
	for i := range inputs {
		in := &inputs[i]
		text = append(append(append(append(text, in.SHA256...), "  "...), in.Path...), '\n')
	}
	return text
}

// sensorTable: the checks over the dataset, then session by session.
func sensorTable(r *Result) []byte {
	w := newCSV("scope", "session", "shoe", "check", "ratio", "sd", "blocks")
	w.expect(len(r.Sensor.Dataset)+len(r.Sensor.Sessions), 60)
	for _, rows := range [][]sensor.Row{r.Sensor.Dataset, r.Sensor.Sessions} {
		for i := range rows {
			row := &rows[i]
			if row.Session == "" {
				w.str("dataset")
			} else {
				w.str("session")
			}
			w.str(row.Session)
			w.str(row.Shoe)
			w.str(row.Check)
			w.num(row.Ratio(), 6)
			w.num(row.SD(), 6)
			w.count(row.Blocks())
			w.end()
		}
	}
	return w.text
}

// sessionsTable: the comparisons within each session in the outcomes that decide,
// with the estimates to date.
func sessionsTable(r *Result) []byte {
	headings := append([]string{"session", "date"}, comparisonHeadings...)
	w := newCSV(append(headings, "to_date", "to_date_low", "to_date_high")...)
	w.expect(len(r.Compare.Sessions), 420)
	for i := range r.Compare.Sessions {
		c := &r.Compare.Sessions[i]
		w.str(c.Session)
		w.str(c.Date)
		comparisonCells(w, &c.Comparison)
		w.num(c.ToDate, 4)
		w.num(c.ToDateLow, 4)
		w.num(c.ToDateHigh, 4)
		w.end()
	}
	return w.text
}
