package app

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/figure"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/load"
)

// row is one row of a derived table by heading.
type row struct {
	headings []string // of the table, one list for all its rows
	cells    []string
}

func (r row) same(other row) bool {
	return slices.Equal(r.headings, other.headings) && slices.Equal(r.cells, other.cells)
}

// text returns a cell; "" where the table has no such column.
func (r row) text(heading string) string {
	if at := slices.Index(r.headings, heading); at >= 0 {
		return r.cells[at]
	}
	return ""
}

// eachRow reads a derived table row by row. The cells of one are overwritten by the next.
func eachRow(table []byte, use func(row)) error {
	reader := csv.NewReader(bytes.NewReader(table))
	reader.ReuseRecord = true
	headings, err := reader.Read()
	r := row{headings: slices.Clone(headings)}
	for err == nil {
		if r.cells, err = reader.Read(); err == nil {
			use(r)
		}
	}
	if err == io.EOF && headings != nil {
		return nil
	}
	return fmt.Errorf("a published table cannot be read: %w", errors.Join(err, errors.New("publish the site again")))
}

// parseTable reads a derived table.
func parseTable(table []byte) (rows []row, err error) {
	err = eachRow(table, func(r row) { rows = append(rows, row{r.headings, slices.Clone(r.cells)}) })
	return rows, err
}

// number reads a cell; missing where it is blank.
func (r row) number(heading string) float64 {
	value, err := units.ParseDecimal(r.text(heading))
	if err != nil {
		return units.Missing
	}
	return value
}

func (r row) count(heading string) int {
	n, _ := strconv.Atoi(r.text(heading))
	return n
}

// readComparisons reads the published comparisons without assumptions, as far as they are
// shown, with the decimals that the table has; none while the table is not there.
func readComparisons(bundle *load.Bundle) (list []compare.Comparison, err error) {
	table := bundle.Derived[load.ComparisonsTable]
	if table == nil {
		return nil, nil
	}
	list = make([]compare.Comparison, 0, bytes.Count(table, []byte("\n"))) // 60 shoes make 100,000
	err = eachRow(table, func(r row) {
		outcome, known := trial.OutcomeNamed(r.text("outcome"))
		if !known {
			return
		}
		list = append(list, compare.Comparison{
			Outcome: outcome, Effort: trial.Effort(r.text("effort")),
			Level: levelOf(r.text("effort"), r.text("target")),
			Model: compare.Model(r.text("model")), Shoe: r.text("shoe"), Reference: r.text("reference"),
			Runners: r.count("runners"), Sessions: r.count("sessions"), Blocks: r.count("blocks"),
			LogEstimate: r.number("log_estimate"), LogSE: r.number("log_se"), Estimate: r.number("estimate"),
			Low: r.number("low"), High: r.number("high"),
			Evidence: compare.Grade(r.text("evidence")),
		})
	})
	return list, err
}

// readStandings reads the published answer back from the ranking.
func readStandings(bundle *load.Bundle) ([]Standing, error) {
	rows, err := parseTable(bundle.Derived[load.RankingTable])
	var list []Standing
	for _, r := range rows {
		effort, number := trial.Effort(r.text("effort")), r.count("group")
		if n := len(list); n == 0 || list[n-1].Effort != effort || list[n-1].Number != number {
			outcome, known := trial.OutcomeNamed(r.text("outcome"))
			if !known {
				continue
			}
			list = append(list, Standing{Effort: effort, Outcome: outcome, Number: number,
				Status: decide.Status(r.text("status")), Evidence: decide.Evidence(r.text("evidence"))})
		}
		s := &list[len(list)-1]
		s.Shoes = append(s.Shoes, ShoeStanding{Shoe: r.text("shoe"), Best: r.number("chance_best"),
			Reference: r.text("estimate") == "",
			Against:   figure.Estimate{Value: r.number("estimate"), Low: r.number("low"), High: r.number("high")}})
	}
	return list, err
}

// matchesAnswer reports whether a published answer says what a result says.
func matchesAnswer(a *load.Answer, r *derive.Result) bool {
	said := answer.NewSpeaker(r.Dataset, r.Answers).Top()
	return a.Headline == said.Headline() && a.Evidence == said.Evidence
}
