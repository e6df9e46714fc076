package app

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/load"
)

// row is one row of a derived table by heading.
type row map[string]string

func (r row) same(other row) bool { return maps.Equal(r, other) }

// parseTable reads a derived table.
func parseTable(table []byte) ([]row, error) {
	records, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil || len(records) == 0 {
		return nil, fmt.Errorf("a published table cannot be read: %w",
			errors.Join(err, errors.New("publish the site again")))
	}
	rows := make([]row, len(records)-1)
	for i, record := range records[1:] {
		rows[i] = row{}
		for j, heading := range records[0] {
			rows[i][heading] = record[j]
		}
	}
	return rows, nil
}

// number reads a cell; missing where it is blank.
func (r row) number(heading string) float64 {
	value, err := units.ParseDecimal(r[heading])
	if err != nil {
		return units.Missing
	}
	return value
}

func (r row) count(heading string) int {
	n, _ := strconv.Atoi(r[heading])
	return n
}

// readComparisons reads the published answer back: the comparisons as far as they
// are shown, with the decimals that the table has, the rankings, and the headline.
func readComparisons(bundle *load.Bundle) (compare.Result, error) {
	rows, err := parseTable(bundle.Derived[load.ComparisonsTable])
	if err != nil {
		return compare.Result{}, err
	}
	answer := bundle.Index.Answer
	result := compare.Result{Verdict: compare.Verdict{Headline: answer.Headline}}

	// The numbers, from the table.
	for _, r := range rows {
		outcome, known := trial.OutcomeNamed(r["outcome"])
		if !known {
			continue
		}
		result.Comparisons = append(result.Comparisons, compare.Comparison{
			Outcome: outcome, Effort: trial.Effort(r["effort"]), Level: levelOf(r["effort"], r["target"]), Model: compare.Model(r["model"]),
			Shoe: r["shoe"], Reference: r["reference"],
			Runners: r.count("runners"), Sessions: r.count("sessions"), Blocks: r.count("blocks"),
			LogEstimate: r.number("log_estimate"), LogSE: r.number("log_se"), Estimate: r.number("estimate"),
			Low: r.number("low"), High: r.number("high"),
			Evidence: compare.Grade(r["evidence"]),
		})
	}

	// The order, from the index.
	for _, r := range answer.Rankings {
		if outcome, known := trial.OutcomeNamed(r.Outcome); known {
			result.Rankings = append(result.Rankings, readRanking(&result, outcome, r))
		}
	}
	return result, nil
}

// readRanking gives the places of a ranking the numbers of its comparisons.
func readRanking(result *compare.Result, outcome trial.Outcome, published load.Ranking) compare.Ranking {
	r := compare.Ranking{Outcome: outcome, Effort: effortOf(published.Level), Level: published.Level}
	reference := ""
	for _, p := range published.Places {
		if p.Reference {
			reference = p.Shoe
		}
	}
	for _, p := range published.Places {
		place := compare.Place{Shoe: p.Shoe, Reference: p.Reference, Apart: p.Apart}
		if c := result.Find(outcome, published.Level, p.Shoe, reference); c != nil {
			if c.Shoe != p.Shoe {
				flipped := c.Reverse()
				c = &flipped
			}
			place.Estimate, place.Low, place.High = c.Estimate, c.Low, c.High
		}
		r.Places = append(r.Places, place)
	}
	return r
}

// matchesAnswer reports whether a published answer has the headline and the order of a result.
func matchesAnswer(a *load.Answer, r *compare.Result) bool {
	if a.Headline != r.Verdict.Headline || len(a.Rankings) != len(r.Rankings) {
		return false
	}
	for i := range r.Rankings {
		derived, published := &r.Rankings[i], &a.Rankings[i]
		if published.Outcome != derived.Outcome.Info().ID || published.Level != derived.Level ||
			len(published.Places) != len(derived.Places) {
			return false
		}
		for j, p := range derived.Places {
			if q := published.Places[j]; q.Shoe != p.Shoe || q.Reference != p.Reference ||
				!slices.Equal(q.Apart, p.Apart) {
				return false
			}
		}
	}
	return true
}
