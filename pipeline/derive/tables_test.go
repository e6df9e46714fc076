package derive_test

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"io/fs"
	"os"
	"path"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// demoFolder is the demonstration dataset of this repository.
const demoFolder = "../../data"

// deriveDemo derives the demonstration dataset, whose derived tables are
// committed.
func deriveDemo(t testing.TB) (fs.FS, *derive.Result) {
	t.Helper()
	fsys := os.DirFS(demoFolder)
	folder, problems := plaintext.Open(fsys, yamltext.Read, 1)
	r, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatal(err, problems)
	}
	return fsys, r
}

// The committed tables are what the dataset gives on this machine: the same bytes
// on every architecture.
func TestDemoTablesAreFresh(t *testing.T) {
	fsys, r := deriveDemo(t)
	names := map[string]bool{}
	for _, table := range r.Tables {
		names[table.Name] = true
		committed, err := fs.ReadFile(fsys, path.Join("derived", table.Name))
		if err != nil {
			t.Fatal(err)
		}
		if string(committed) != string(table.Text) {
			t.Errorf("data/derived/%s is stale: run derive", table.Name)
		}
	}
	entries, err := fs.ReadDir(fsys, "derived")
	if err != nil || len(names) != 11 {
		t.Fatalf("%d tables, want 11: %v", len(names), err)
	}
	for _, e := range entries {
		if !names[e.Name()] {
			t.Errorf("data/derived/%s is no derived table", e.Name())
		}
	}
}

// Every input has its line in the format of the sha256sum program, and the hash
// is that of the standard library.
func TestInputHashes(t *testing.T) {
	fsys, r := deriveDemo(t)
	line := regexp.MustCompile(`^([0-9a-f]{64})  (\S+)$`)
	listed, before := map[string]bool{}, ""
	for _, text := range strings.Split(strings.TrimSuffix(table(r, "inputs.sha256"), "\n"), "\n") {
		parts := line.FindStringSubmatch(text)
		if parts == nil {
			t.Fatalf("%q is no line of sha256sum", text)
		}
		content, err := fs.ReadFile(fsys, parts[2])
		if err != nil {
			t.Fatal(err)
		}
		if sum := sha256.Sum256(content); hex.EncodeToString(sum[:]) != parts[1] {
			t.Errorf("%s has another hash than %s", parts[2], parts[1])
		}
		if parts[2] <= before {
			t.Errorf("%q stands after %q", parts[2], before)
		}
		listed[parts[2]], before = true, parts[2]
	}
	err := fs.WalkDir(fsys, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		input := !strings.HasPrefix(name, "derived/") && !strings.HasPrefix(name, "schemas/") &&
			!strings.HasPrefix(path.Base(name), ".") && name != "README.md" && name != "datapackage.json"
		if input != listed[name] {
			t.Errorf("%s: an input: %v, listed: %v", name, input, listed[name])
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// The headings of the tables, as the design of the dataset has them; more may
// follow at the end.
var headings = map[string]string{
	"blocks.csv": "session,block,shoe,order,included,reason,midpoint_s,window_s,coverage_pct," +
		"speed_mps,pace_s_per_km,heart_rate_bpm,beats_per_km,power_w,power_per_speed_mass_j_per_kg_m," +
		"cadence_spm,step_length_m,contact_ms,flight_ms,duty_factor_pct,oscillation_cm,rise_per_step_pct," +
		"vertical_stiffness_kn_per_m,leg_stiffness_kn_per_m,oxygen_ml_kg_min,rpe,comfort_mm",
	"findings.csv": "session,block,rule,severity,value,limit,message",
	"comparisons.csv": "outcome,unit,effort,target,model,shoe,reference,runners,sessions,blocks," +
		"log_estimate,log_se,df,estimate,low,high,p_value,p_adjusted," +
		"between_sd,residual_sd,drift_per_h,drift_se,tipping_drift_per_block,evidence",
	"sessions.csv": "session,date,outcome,unit,effort,target,model,shoe,reference",
	"forecast.csv": "shoe,reference,distance_m,base_time_s,time_change_s,low,high,curve,extrapolated",
	"sensor.csv":   "scope,session,shoe,check,ratio,sd,blocks",
	"decisions.csv": "effort,outcome,shoe,reference,runners,sessions,blocks,group,estimate,low,high,chance_better," +
		"chance_worthwhile,chance_same,apart_at_most,next_low,next_high,sensor_correction,sensor_tipping,note",
	"ranking.csv":  "effort,outcome,group,status,place,shoe,chance_best,estimate,low,high,evidence,why",
	"progress.csv": "effort,date,session,shoe,chance_best,estimate,low,high",
	"analyses.csv": "effort,analysis,window,drift,exponent,left_out,status,shoe,estimate,low,high",
}

// decimals are the digits behind the point of every column of numbers.
var decimals = map[string]map[string]int{
	"blocks.csv": {"order": 0, "midpoint_s": 1, "window_s": 1, "coverage_pct": 2, "speed_mps": 4, "pace_s_per_km": 3,
		"heart_rate_bpm": 2, "beats_per_km": 2,
		"power_w": 2, "power_per_speed_mass_j_per_kg_m": 4, "cadence_spm": 2, "step_length_m": 4, "contact_ms": 2,
		"flight_ms": 2, "duty_factor_pct": 3, "oscillation_cm": 3,
		"rise_per_step_pct": 3, "vertical_stiffness_kn_per_m": 4, "leg_stiffness_kn_per_m": 4, "oxygen_ml_kg_min": 3,
		"rpe": 1, "comfort_mm": 1},
	"findings.csv": {"value": 4, "limit": 4},
	"comparisons.csv": {"runners": 0, "sessions": 0, "blocks": 0, "log_estimate": 9, "log_se": 9, "df": 4,
		"estimate": 4, "low": 4, "high": 4, "between_sd": 9,
		"residual_sd": 9, "drift_per_h": 4, "drift_se": 4, "tipping_drift_per_block": 4, "adjustment": 4,
		"sensor_error": 4},
	"sessions.csv": {"runners": 0, "sessions": 0, "blocks": 0, "log_estimate": 9, "log_se": 9, "df": 4, "estimate": 4,
		"low": 4, "high": 4, "residual_sd": 9,
		"drift_per_h": 4, "drift_se": 4, "to_date": 4, "to_date_low": 4, "to_date_high": 4},
	"sensor.csv": {"ratio": 6, "sd": 6, "blocks": 0},
	"decisions.csv": {"runners": 0, "sessions": 0, "blocks": 0, "group": 0, "estimate": 4, "low": 4, "high": 4,
		"chance_better": 4, "chance_worthwhile": 4, "chance_same": 4, "apart_at_most": 4, "next_low": 4, "next_high": 4,
		"sensor_correction": 4, "sensor_tipping": 4},
	"ranking.csv":  {"group": 0, "place": 0, "chance_best": 4, "estimate": 4, "low": 4, "high": 4},
	"progress.csv": {"chance_best": 4, "estimate": 4, "low": 4, "high": 4},
	"analyses.csv": {"estimate": 4, "low": 4, "high": 4},
	"forecast.csv": {"distance_m": 1, "base_time_s": 1, "time_change_s": 1, "low": 1, "high": 1},
}

// significant are the columns written with six significant digits.
var significant = map[string]bool{"p_value": true, "p_adjusted": true}

func TestTableForm(t *testing.T) {
	_, demo := deriveDemo(t)
	empty := deriveFS(t, lab{}.files())
	small := lab{sessions: []labSession{{blocks: worn("AB", 4, 4.04)},
		{untimed: true, blocks: worn("CDDC", 4, 4.1, 4.1, 4.05)}}}.derive(t)
	for name, r := range map[string]*derive.Result{"the demonstration": demo, "a dataset without sessions": empty,
		"a small one": small} {
		checked := 0
		for _, table := range r.Tables {
			if strings.Contains(string(table.Text), "\r") || !strings.HasSuffix(string(table.Text), "\n") {
				t.Errorf("%s: %s does not end its lines with a line feed", name, table.Name)
			}
			if want, ok := headings[table.Name]; ok {
				checkTable(t, table, want)
				checked++
			}
		}
		if checked != len(headings) {
			t.Errorf("%s has %d of %d tables", name, checked, len(headings))
		}
	}
}

func checkTable(t *testing.T, table derive.Table, want string) {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(string(table.Text))).ReadAll() // it refuses rows of another width
	if err != nil {
		t.Fatalf("%s: %v", table.Name, err)
	}
	if head := strings.Join(rows[0], ",") + ","; !strings.HasPrefix(head, want+",") {
		t.Errorf("%s begins with %s, want %s", table.Name, head, want)
	}
	for _, row := range rows[1:] {
		for i, cell := range row {
			if cell != "" {
				checkCell(t, table.Name, rows[0][i], cell)
			}
		}
	}
}

var (
	fixed      = regexp.MustCompile(`^-?(0|[1-9][0-9]*)(?:\.([0-9]+))?$`)
	zeros      = regexp.MustCompile(`^-0(\.0*)?$`)
	sixDigits  = regexp.MustCompile(`^(0|1|[0-9]+(\.[0-9]+)?(e-[0-9]+)?)$`)
	freeOfText = regexp.MustCompile(`NaN|Inf`)
)

func checkCell(t *testing.T, name, column, cell string) {
	t.Helper()
	switch places, isNumber := decimals[name][column]; {
	case significant[column]:
		v, err := strconv.ParseFloat(cell, 64)
		if short := strconv.FormatFloat(v, 'g', 6, 64); err != nil || !sixDigits.MatchString(cell) || v < 0 || v > 1 ||
			mustParse(t, short) != v {
			t.Errorf("%s: %s is %q, want a probability with at most six significant digits", name, column, cell)
		}
	case !isNumber:
		if freeOfText.MatchString(cell) {
			t.Errorf("%s: %s is %q", name, column, cell)
		}
	default:
		if parts := fixed.FindStringSubmatch(cell); parts == nil || len(parts[2]) != places || zeros.MatchString(cell) {
			t.Errorf("%s: %s is %q, want %d decimals", name, column, cell, places)
		}
	}
}

func mustParse(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Text with commas, quotes and line ends is quoted so that a reader of RFC 4180
// gets it back whole.
func TestTextIsQuoted(t *testing.T) {
	const reason = `he said "stop", then, again, "go"`
	files := lab{sessions: []labSession{{blocks: worn("ABBA", 4, 4.04, 4.04, 4)}}}.files()
	text := strings.Replace(string(files["sessions/s01/blocks.csv"].Data), ",,250,4.0000",
		`,"`+strings.ReplaceAll(reason, `"`, `""`)+`",250,4.0000`, 1)
	text = strings.Replace(text, `300,,,"`, `300,,no,"`, 1)
	files["sessions/s01/blocks.csv"] = &fstest.MapFile{Data: []byte(text)}
	rows, err := csv.NewReader(strings.NewReader(table(deriveFS(t, files), "blocks.csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if rows[1][4] != "no" || rows[1][5] != reason {
		t.Errorf("block 1: included %q, reason %q; want no and %q", rows[1][4], rows[1][5], reason)
	}
}

// Problems of all recordings are reported together, and then there is no result.
func TestProblemsOfAllRecordings(t *testing.T) {
	files := synthetic(2)
	for _, path := range []string{"sessions/s0000/pod.csv", "sessions/s0001/pod.csv"} {
		files[path] = &fstest.MapFile{Data: append([]byte(nil), files[path].Data...)}
		files[path].Data = append(files[path].Data, "later,1,1,1,1,1,1,1\n"...)
	}
	folder, problems := plaintext.Open(files, yamltext.Read, 1)
	r, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if r != nil || err != nil || len(problems) != 2 || problems[0].At.File != "sessions/s0000/pod.csv" ||
		problems[1].At.File != "sessions/s0001/pod.csv" {
		t.Errorf("result %v, problems %v, error %v; want two problems", r, problems, err)
	}
}
