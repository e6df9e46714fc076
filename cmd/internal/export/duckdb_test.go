package export

import (
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/parallel"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/scripts/checkers"
)

// How many datasets the queries go over; 1000 for a long run.
var datasets = flag.Int("datasets", 6, "how many datasets are exported and queried")

// variant writes a dataset with one session of the demonstration, moved against the whole
// second and trimmed otherwise than its neighbours, so that windows cut samples.
func variant(dir string, i int) error {
	sessions, err := filepath.Glob(filepath.Join(demo, "sessions", "*"))
	if err != nil {
		return err
	}
	var recorded []string
	for _, s := range sessions {
		if files, _ := filepath.Glob(filepath.Join(s, "watch.csv")); len(files) > 0 {
			recorded = append(recorded, s)
		}
	}
	session := recorded[i%len(recorded)]
	for from, edits := range map[string][]string{
		"runners.csv": nil, "shoes.csv": nil, "venues.csv": nil,
		"dataset.yaml": {"head_s: 60", fmt.Sprintf("head_s: %d", 45+i%37), "tail_s: 15",
			fmt.Sprintf("tail_s: %d", 10+i%11)},
		filepath.Join("sessions", filepath.Base(session)): {"offset_s: 0",
			fmt.Sprintf("offset_s: %.2f", 0.37*float64(i%5))},
	} {
		edit := strings.NewReplacer(edits...)
		if err := copyEdited(filepath.Join(demo, from), filepath.Join(dir, from), edit); err != nil {
			return err
		}
	}
	return nil
}

// copyEdited copies a file, or the files of a folder, with replacements in YAML.
func copyEdited(from, to string, edits *strings.Replacer) error {
	info, err := os.Stat(from)
	if err != nil {
		return err
	}
	if info.IsDir() {
		entries, err := os.ReadDir(from)
		for _, e := range entries {
			if err == nil {
				err = copyEdited(filepath.Join(from, e.Name()), filepath.Join(to, e.Name()), edits)
			}
		}
		return err
	}
	text, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	if strings.HasSuffix(from, ".yaml") {
		text = []byte(edits.Replace(string(text)))
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return err
	}
	return os.WriteFile(to, text, 0o666)
}

// blocksOf is what blocks.csv says of a dataset: a row of cells for each block.
func blocksOf(dir string) (rows []map[string]string, err error) {
	folder, problems := plaintext.Open(os.DirFS(dir), yamltext.Read, 1)
	sessions, problems, err := derive.Blocks(folder, problems, derive.Options{})
	if err != nil || len(problems) > 0 {
		return nil, fmt.Errorf("%s: %v %v", dir, err, problems)
	}
	records, err := csv.NewReader(strings.NewReader(string(derive.BlocksTable(sessions)))).ReadAll()
	if err != nil {
		return nil, err
	}
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, cell := range record {
			row[records[0][i]] = cell
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// blockMeans is the query for the means of every block, as README of cmd/soletrial-export shows it.
func blockMeans() string {
	var list []string
	for _, m := range means {
		list = append(list, fmt.Sprintf("sum(%s * %s) / sum(%s) as %s", m.column, m.weight, m.weight, m.column))
	}
	return "select dataset, session, block, any_value(shoe) as shoe, " + strings.Join(list, ", ") +
		" from read_parquet('lake/**/*.parquet', hive_partitioning = true, hive_types_autocast = false)" +
		" where block is not null group by all order by all"
}

var means = []struct {
	column, weight string
	outcome        trial.Outcome
}{
	{"power_w", "power_weight_s", trial.MeanPower}, {"speed_mps", "speed_weight_s", trial.Speed},
	{"cadence_spm", "cadence_weight_s", trial.Cadence}, {"step_length_m", "step_length_weight_s", trial.StepLength},
	{"contact_ms", "contact_weight_s", trial.Contact}, {"oscillation_cm", "oscillation_weight_s", trial.Oscillation},
	{"heart_rate_bpm", "heart_rate_weight_s", trial.Heart},
}

// Oracle: DuckDB. Over many datasets, the means of every block that it takes from the files
// are those of blocks.csv to the last printed digit, and so are the speeds by shoe.
func TestDuckDBGivesTheBlockMeans(t *testing.T) {
	checkers.Query(t, t.TempDir(), "select 1") // or the test ends here with a word
	dir, args := t.TempDir(), []string{"-o", ""}
	args[1] = filepath.Join(dir, "lake")
	type expectation struct {
		rows []map[string]string
		err  error
	}
	want := parallel.Map(4, *datasets, func(i int) (e expectation) {
		folder := filepath.Join(dir, fmt.Sprintf("trial%04d", i))
		if e.err = variant(folder, i); e.err == nil {
			e.rows, e.err = blocksOf(folder)
		}
		return e
	})
	for i := range *datasets {
		args = append(args, filepath.Join(dir, fmt.Sprintf("trial%04d", i)))
	}
	exported(t, args...)
	got := map[string]map[string]any{}
	for _, row := range checkers.Query(t, dir, blockMeans()) {
		got[fmt.Sprint(row["dataset"], " ", row["session"], " ", row["block"])] = row
	}
	compared, blocks, ties := 0, 0, 0
	for i, e := range want {
		if e.err != nil {
			t.Fatal(e.err)
		}
		for _, row := range e.rows {
			blocks++
			key := fmt.Sprintf("trial%04d %s %s", i, row["session"], row["block"])
			if got[key]["shoe"] != row["shoe"] {
				t.Errorf("%s is in %v, want %s", key, got[key]["shoe"], row["shoe"])
			}
			for _, m := range means {
				compared++
				value, cell := got[key][m.column], row[m.outcome.Info().Column]
				switch text := printed(value, m.outcome); {
				case text == cell:
				case tied(value, cell, m.outcome):
					ties++
				default:
					t.Errorf("%s: %s is %q, in blocks.csv %q", key, m.column, text, cell)
				}
			}
		}
	}
	if len(got) != blocks || blocks < 5*(*datasets) {
		t.Errorf("%d blocks in the files, %d in blocks.csv", len(got), blocks)
	}
	if ties > 1+compared/1000 {
		t.Errorf("%d of %d means are said to lie half way between two printed numbers", ties, compared)
	}
	t.Logf("%d means of %d blocks of %d datasets; %d lie half way between two printed numbers", compared, blocks,
		*datasets, ties)
	speedByShoe(t, dir, func(yield func(shoe string, speed float64)) {
		for _, e := range want {
			for _, row := range e.rows {
				if speed, err := strconv.ParseFloat(row["speed_mps"], 64); err == nil && row["included"] == "yes" {
					yield(row["shoe"], speed)
				}
			}
		}
	})
}

// speedByShoe compares the mean over included blocks by shoe with that of the cells, which
// are rounded to four decimals.
func speedByShoe(t *testing.T, dir string, cells func(func(string, float64))) {
	t.Helper()
	sum, n := map[string]float64{}, map[string]float64{}
	cells(func(shoe string, speed float64) { sum[shoe] += speed; n[shoe]++ })
	rows := checkers.Query(t, dir, `with blocks as (
		select dataset, session, block, shoe, sum(speed_mps * speed_weight_s) / sum(speed_weight_s) as speed
		from read_parquet('lake/**/*.parquet', hive_partitioning = true) where included group by all)
		select shoe, avg(speed) as speed, count(*) as blocks from blocks where speed is not null group by shoe`)
	for _, row := range rows {
		shoe, _ := row["shoe"].(string)
		got, _ := row["speed"].(float64)
		if want := sum[shoe] / n[shoe]; !(math.Abs(got-want) < 5e-5) ||
			fmt.Sprint(row["blocks"]) != fmt.Sprint(n[shoe]) {
			t.Errorf("%s: %v over %v blocks, want %v over %v", shoe, got, row["blocks"], want, n[shoe])
		}
	}
	if len(rows) != len(sum) || len(rows) < 2 {
		t.Errorf("%d shoes in the files, %d in blocks.csv", len(rows), len(sum))
	}
}

// printed is a mean with the decimals of its outcome, "" for none.
func printed(value any, o trial.Outcome) string {
	x, known := value.(float64)
	if !known {
		x = units.Missing
	}
	return units.FormatDecimal(x, o.Decimals())
}

// tied reports whether a mean lies half way between the printed number and its neighbour: then
// the order of the sum, which is DuckDB's own, decides which way it is rounded.
func tied(value any, cell string, o trial.Outcome) bool {
	x, known := value.(float64)
	printed, err := strconv.ParseFloat(cell, 64)
	half := math.Pow10(-o.Decimals()) / 2
	return known && err == nil && math.Abs(math.Abs(x-printed)-half) < 1e-9*x
}

// Oracle: DuckDB. What stands in folder names comes back as it was, and nothing as null.
func TestDuckDBReadsAwkwardNames(t *testing.T) {
	checkers.Query(t, t.TempDir(), "select 1")
	dir := t.TempDir()
	if err := variant(filepath.Join(dir, "trial"), 0); err != nil {
		t.Fatal(err)
	}
	sessions, err := filepath.Glob(filepath.Join(dir, "trial", "sessions", "*", "session.yaml"))
	if err != nil || len(sessions) != 1 {
		t.Fatal(sessions, err)
	}
	replaced := strings.NewReplacer("device: foot_sensor", `device: "left = 50 % / größe"`,
		"device: watch", `device: ""`)
	if err := copyEdited(sessions[0], sessions[0], replaced); err != nil {
		t.Fatal(err)
	}
	exported(t, "x y="+filepath.Join(dir, "trial"), "-o", filepath.Join(dir, "lake"))
	rows := checkers.Query(t, dir, `select dataset, runner, device, recording, count(*) as n
		from read_parquet('lake/**/*.parquet', hive_partitioning = true) group by all order by recording`)
	if len(rows) != 2 || rows[0]["device"] != "left = 50 % / größe" || rows[1]["device"] != nil ||
		rows[0]["dataset"] != "x y" || rows[0]["runner"] != "r1" || rows[1]["recording"] != "watch.csv" {
		t.Errorf("DuckDB reads %v", rows)
	}
}

// Oracle: DuckDB. The flat tables hold the same rows, and types that need no telling.
func TestDuckDBReadsFlatTables(t *testing.T) {
	checkers.Query(t, t.TempDir(), "select 1")
	dir := t.TempDir()
	exported(t, demo, "--samples", filepath.Join(dir, "a.csv"))
	exported(t, demo, "--samples", filepath.Join(dir, "a.parquet"))
	rows := checkers.Query(t, dir, `select count(*) as n, sum(speed_mps * speed_weight_s) as weighted,
		min(date) as first, count(shoe) as worn from 'a.parquet' union all
		select count(*), sum(speed_mps * speed_weight_s), min(date), count(shoe) from 'a.csv'`)
	if len(rows) != 2 || rows[0]["n"] != rows[1]["n"] || rows[0]["n"] != "55920" || rows[0]["first"] != "2026-03-07" ||
		rows[1]["first"] != "2026-03-07" || rows[0]["worn"] != rows[1]["worn"] {
		t.Fatalf("DuckDB reads %v", rows)
	}
	a, _ := rows[0]["weighted"].(float64)
	b, _ := rows[1]["weighted"].(float64)
	if !(a > 1000) || (a-b)/a > 1e-9 || (b-a)/a > 1e-9 {
		t.Errorf("sums %v and %v", a, b)
	}
}
