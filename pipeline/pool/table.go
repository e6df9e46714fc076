package pool

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/gocarina/gocsv"

	"soletrial/pipeline/stats"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Row is one runner's difference between two shoes as a derived table has it. Estimate,
// SE and DF are on the analysis scale (natural logarithms for ratio outcomes), missing
// where blank; DF is +Inf for a decision, whose interval holds all that is not known.
type Row struct {
	Effort                    trial.Effort
	Target                    string // as the table writes it; "" where all targets count together
	Shoe, Reference           string
	Runners, Sessions, Blocks int
	Estimate, SE, DF          float64
}

// cell is one field with its place; gocsv only carries it into the struct, because
// its own conversions turn a blank into 0.
type cell struct {
	text string
	at   trial.Position
}

const cellSeparator = "\x1f"

// UnmarshalCSV unpacks a cell that came through gocsv.
func (c *cell) UnmarshalCSV(packed string) error {
	parts := strings.SplitN(packed, cellSeparator, 3)
	if len(parts) != 3 {
		return errors.New("a cell without its place")
	}
	line, errLine := strconv.Atoi(parts[0])
	column, errColumn := strconv.Atoi(parts[1])
	c.text, c.at = parts[2], trial.Position{Line: line, Column: column}
	return errors.Join(errLine, errColumn)
}

// comparisonCells are the columns of comparisons.csv that pooling needs. Others may come
// and go between versions of the program and are passed over.
type comparisonCells struct {
	Outcome     cell `csv:"outcome"`
	Effort      cell `csv:"effort"`
	Target      cell `csv:"target"`
	Shoe        cell `csv:"shoe"`
	Reference   cell `csv:"reference"`
	Runners     cell `csv:"runners"`
	Sessions    cell `csv:"sessions"`
	Blocks      cell `csv:"blocks"`
	LogEstimate cell `csv:"log_estimate"`
	LogSE       cell `csv:"log_se"`
	DF          cell `csv:"df"`
}

// decisionCells are those of decisions.csv.
type decisionCells struct {
	Outcome   cell `csv:"outcome"`
	Effort    cell `csv:"effort"`
	Shoe      cell `csv:"shoe"`
	Reference cell `csv:"reference"`
	Runners   cell `csv:"runners"`
	Sessions  cell `csv:"sessions"`
	Blocks    cell `csv:"blocks"`
	Estimate  cell `csv:"estimate"`
	Low       cell `csv:"low"`
	High      cell `csv:"high"`
}

// needed are their headings.
var (
	comparisonNeeded = []string{
		"outcome", "effort", "target", "shoe", "reference", "runners", "sessions", "blocks", "log_estimate", "log_se",
		"df",
	}
	decisionNeeded = []string{"outcome", "effort", "shoe", "reference", "runners", "sessions", "blocks", "estimate",
		"low", "high"}
)

// rewrite is what to do about a table that the program did not write.
const rewrite = "derive the dataset again; do not edit the table"

// tableReader is one table on its way into rows.
type tableReader struct {
	file     string
	outcome  trial.Outcome
	problems []trial.Problem
}

func (r *tableReader) complain(at trial.Position, hint, format string, args ...any) {
	at.File = r.file
	r.problems = append(r.problems, trial.Problem{At: at, Message: fmt.Sprintf(format, args...), Hint: hint})
}

// ReadComparisons reads the rows of one outcome out of a derived comparisons table. It
// returns no rows when there is a problem; file is its name in the problems.
func ReadComparisons(file string, text []byte, outcome trial.Outcome) ([]Row, []trial.Problem) {
	return readTable(file, text, outcome, comparisonNeeded, (*tableReader).comparison)
}

// ReadDecisions reads the rows of one outcome out of a derived table of decisions. Their
// interval is 95 % and becomes a standard error; better is positive there, so that a
// difference in heart rate at the same pace turns round.
func ReadDecisions(file string, text []byte, outcome trial.Outcome) ([]Row, []trial.Problem) {
	return readTable(file, text, outcome, decisionNeeded, (*tableReader).decision)
}

func readTable[C any](file string, text []byte, outcome trial.Outcome, needed []string,
	row func(*tableReader, *C) Row) ([]Row, []trial.Problem) {
	r := &tableReader{file: file, outcome: outcome}
	packed := r.records(text, needed)
	if len(r.problems) > 0 || len(packed) < 2 {
		return nil, r.problems
	}
	var all []C
	if err := gocsv.UnmarshalCSV(records(packed), &all); err != nil {
		r.complain(trial.Position{}, rewrite, "cannot be read: %v", err)
	}
	rows := make([]Row, len(all))
	for i := range all {
		rows[i] = row(r, &all[i])
	}
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	return rows, nil
}

// records hands read rows to gocsv.
type records [][]string

// Read is not used: the rows are read all at once.
func (r records) Read() ([]string, error) { return nil, errors.New("rows are read all at once") }

// ReadAll returns the rows, the header first.
func (r records) ReadAll() ([][]string, error) { return r, nil }

// records returns the header and the outcome's rows, each cell that is needed with
// its place in front.
func (r *tableReader) records(text []byte, needed []string) [][]string {
	reader := csv.NewReader(bytes.NewReader(text))
	header, err := reader.Read()
	if err != nil {
		r.csvProblem(err, "the table is empty")
		return nil
	}
	// Every row is checked; those of the outcome are kept.
	packed, at := [][]string{slices.Clone(header)}, slices.Index(header, needed[0])
	if !r.header(header, needed) {
		return nil
	}
	id := r.outcome.Info().ID
	for {
		record, err := reader.Read()
		if errors.Is(err, io.EOF) {
			return packed
		}
		if err != nil {
			r.csvProblem(err, "the table is cut off")
			return nil
		}
		if _, known := trial.OutcomeNamed(record[at]); !known {
			line, column := reader.FieldPos(at)
			r.complain(trial.Position{Line: line, Column: column}, rewrite, "outcome: %q is not an outcome", record[at])
		}
		if record[at] == id {
			packed = append(packed, pack(reader, record))
		}
	}
}

func pack(reader *csv.Reader, record []string) []string {
	row := make([]string, len(record))
	for i, text := range record {
		line, column := reader.FieldPos(i)
		row[i] = strconv.Itoa(line) + cellSeparator + strconv.Itoa(column) + cellSeparator + text
	}
	return row
}

// csvProblem reports text that is no table.
func (r *tableReader) csvProblem(err error, empty string) {
	if syntax, ok := errors.AsType[*csv.ParseError](err); ok {
		r.complain(trial.Position{Line: syntax.Line, Column: syntax.Column}, rewrite, "%v", syntax.Err)
		return
	}
	r.complain(trial.Position{Line: 1}, rewrite, "%s", empty)
}

// header reports columns that are needed and absent, or there twice.
func (r *tableReader) header(header, needed []string) bool {
	sound := true
	for _, name := range needed {
		if !slices.Contains(header, name) {
			sound = false
			r.complain(trial.Position{Line: 1}, rewrite, "column %q is missing", name)
		}
	}
	for i, name := range header {
		if slices.Contains(header[:i], name) {
			sound = false
			r.complain(trial.Position{Line: 1}, rewrite, "column %q is here twice", name)
		}
	}
	return sound
}

func (r *tableReader) comparison(c *comparisonCells) Row {
	row := Row{
		Effort: trial.Effort(r.word(c.Effort, "effort")), Target: c.Target.text, Shoe: r.word(c.Shoe, "shoe"),
		Reference: r.word(c.Reference, "reference"), Runners: r.count(c.Runners, "runners"),
		Sessions: r.count(c.Sessions, "sessions"), Blocks: r.count(c.Blocks, "blocks"),
		Estimate: r.number(c.LogEstimate, "log_estimate"), SE: r.number(c.LogSE, "log_se"), DF: r.number(c.DF, "df"),
	}
	if row.SE < 0 {
		r.complain(c.LogSE.at, rewrite, "log_se: %s is below 0", c.LogSE.text)
	}
	return row
}

func (r *tableReader) decision(c *decisionCells) Row {
	row := Row{
		Effort: trial.Effort(r.word(c.Effort, "effort")), Shoe: r.word(c.Shoe, "shoe"),
		Reference: r.word(c.Reference, "reference"), Runners: r.count(c.Runners, "runners"),
		Sessions: r.count(c.Sessions, "sessions"), Blocks: r.count(c.Blocks, "blocks"), DF: math.Inf(1),
	}
	estimate, low, high := r.ratio(c.Estimate, "estimate"), r.ratio(c.Low, "low"), r.ratio(c.High, "high")
	row.Estimate, row.SE = estimate, (high-low)/(2*stats.NormalQuantile(0.975))
	if row.SE < 0 {
		r.complain(c.High.at, rewrite, "high: %s is below low", c.High.text)
	}
	if r.outcome == trial.Heart && row.Effort == trial.Pace {
		row.Estimate = -row.Estimate // in favour of the shoe: here less is better
	}
	return row
}

// ratio reads a percentage as the logarithm of its ratio.
func (r *tableReader) ratio(c cell, name string) float64 {
	percent := r.number(c, name)
	if percent <= -100 {
		r.complain(c.at, rewrite, "%s: %s %% is no difference between two runs", name, c.text)
		return units.Missing
	}
	return stats.Log1p(percent / 100)
}

func (r *tableReader) word(c cell, name string) string {
	if c.text == "" {
		r.complain(c.at, rewrite, "%s: is blank", name)
	}
	return c.text
}

// number reads a decimal; blank is missing.
func (r *tableReader) number(c cell, name string) float64 {
	if c.text == "" {
		return units.Missing
	}
	x, err := units.ParseDecimal(c.text)
	if err != nil {
		r.complain(c.at, rewrite, "%s: %v", name, err)
	}
	return x
}

func (r *tableReader) count(c cell, name string) int {
	n, err := strconv.Atoi(c.text)
	if err != nil || n < 0 {
		r.complain(c.at, rewrite, "%s: %q is not a count", name, c.text)
	}
	return n
}
