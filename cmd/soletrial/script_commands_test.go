package main_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/muktihari/fit/profile/typedef"
	"github.com/rogpeppe/go-internal/testscript"

	"soletrial/pipeline/recording/fittest"
)

// scriptCommands are the commands that scripts have besides the usual ones.
var scriptCommands = map[string]func(*testscript.TestScript, bool, []string){
	"exits":     exits,
	"untouched": untouched,
	"touched":   touched,
	"demo":      demo,
	"fit":       fit,
	"wear":      wear,
	"edit":      edit,
	"crlf":      crlf,
	"json":      jsonHas,
	"fetch":     fetch,
	"shows":     shows,
	"mean":      mean,
	"address":   address,
	"described": described,
	"own-sum":   ownSum,
	"hold":      hold,
	"release":   release,
	"zip":       zipFolder,
}

// demo copies the demonstration dataset: demo DIR.
func demo(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: demo DIR")
	}
	ts.Check(os.CopyFS(ts.MkAbs(args[0]), os.DirFS(filepath.Join(stageOf(ts).repository, "data"))))
}

// fit writes a FIT file of an invented interval run: fit [FLAGS] FILE. See
// fittest.Spec for the meaning of the flags.
func fit(ts *testscript.TestScript, neg bool, args []string) {
	var spec fittest.Spec
	start := ""
	flags := flag.NewFlagSet("fit", flag.ContinueOnError)
	flags.SetOutput(ts.Stderr())
	flags.IntVar(&spec.Blocks, "blocks", 0, "")
	flags.IntVar(&spec.BlockS, "block-s", 0, "")
	flags.IntVar(&spec.WarmUpS, "warm-up-s", 0, "")
	flags.BoolVar(&spec.NativePower, "native-power", false, "")
	flags.BoolVar(&spec.Positions, "positions", false, "")
	flags.StringVar(&spec.Owner, "owner", "", "")
	sport := flags.Int("sport", 0, "")
	flags.Func("steps", "", func(text string) error { return json.Unmarshal([]byte("["+text+"]"), &spec.Steps) })
	flags.StringVar(&start, "start", "2026-05-01T17:30:00Z", "")
	ts.Check(flags.Parse(args))
	spec.Sport = typedef.Sport(*sport)
	if neg || flags.NArg() != 1 {
		ts.Fatalf("usage: fit [FLAGS] FILE")
	}
	var err error
	spec.Start, err = time.Parse(time.RFC3339, start)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(flags.Arg(0)), fittest.Run(spec), 0o666))
}

// zipFolder packs a folder with its name: zip FILE DIR.
func zipFolder(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: zip FILE DIR")
	}
	var packed bytes.Buffer
	archive, folder := zip.NewWriter(&packed), ts.MkAbs(args[1])
	entries, err := os.ReadDir(folder)
	ts.Check(err)
	for _, entry := range entries {
		content, err := os.ReadFile(filepath.Join(folder, entry.Name()))
		ts.Check(err)
		file, err := archive.Create(filepath.Base(folder) + "/" + entry.Name())
		ts.Check(err)
		_, err = file.Write(content)
		ts.Check(err)
	}
	ts.Check(archive.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), packed.Bytes(), 0o666))
}

// wear fills the shoe column of a blocks.csv, row by row, as a person would
// after an import; "-" leaves a row as it is: wear FILE SHOE...
func wear(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: wear FILE SHOE...")
	}
	rows, err := csv.NewReader(strings.NewReader(ts.ReadFile(args[0]))).ReadAll()
	ts.Check(err)
	column := slices.Index(rows[0], "shoe")
	if column < 0 || len(rows)-1 != len(args)-1 {
		ts.Fatalf("%s has %d blocks and its shoe column is number %d; got %d shoes", args[0], len(rows)-1, column,
			len(args)-1)
	}
	for i, shoe := range args[1:] {
		if shoe != "-" {
			rows[i+1][column] = shoe
		}
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	ts.Check(w.WriteAll(rows))
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), out.Bytes(), 0o666))
}

// edit replaces a text that stands exactly once in a file; \n is a line feed:
// edit FILE OLD NEW.
func edit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: edit FILE OLD NEW")
	}
	text := ts.ReadFile(args[0])
	older, newer := strings.ReplaceAll(args[1], `\n`, "\n"), strings.ReplaceAll(args[2], `\n`, "\n")
	if n := strings.Count(text, older); n != 1 {
		ts.Fatalf("%q stands %d times in %s, want once", args[1], n, args[0])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, older, newer, 1)), 0o666))
}

// crlf gives files the line ends of Windows: crlf FILE...
func crlf(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: crlf FILE...")
	}
	for _, path := range args {
		ts.Check(os.WriteFile(ts.MkAbs(path), []byte(strings.ReplaceAll(ts.ReadFile(path), "\n", "\r\n")), 0o666))
	}
}

// jsonHas asserts one value of the JSON on standard output: json PATH VALUE. The
// path goes by keys and places, with length for that of a list:
// findings.0.rule, findings.length.
func jsonHas(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: [!] json PATH VALUE")
	}
	var value any
	if err := json.Unmarshal([]byte(ts.ReadFile("stdout")), &value); err != nil {
		ts.Fatalf("standard output is not JSON: %v", err)
	}
	for _, key := range strings.Split(args[0], ".") {
		switch inner := value.(type) {
		case map[string]any:
			value = inner[key]
		case []any:
			if key == "length" {
				value = len(inner)
				continue
			}
			place, err := strconv.Atoi(key)
			if err != nil || place >= len(inner) {
				ts.Fatalf("%s: %q is no place in a list of %d", args[0], key, len(inner))
			}
			value = inner[place]
		default:
			ts.Fatalf("%s: there is nothing below %v", args[0], value)
		}
	}
	if got := fmt.Sprint(value); (got == args[1]) == neg {
		ts.Fatalf("%s is %q, compared with %q", args[0], got, args[1])
	}
}

// scriptPatience is how long a script waits for what a program in the background does.
const scriptPatience = 5 * time.Minute

// fetch reads a page of a server whose address stands in a file, waiting until
// it does: fetch [-host NAME] FILE PATH STATUS. The page goes to standard output.
func fetch(ts *testscript.TestScript, neg bool, args []string) {
	host := ""
	if len(args) == 5 && args[0] == "-host" {
		host, args = args[1], args[2:]
	}
	if neg || len(args) != 3 {
		ts.Fatalf("usage: fetch [-host NAME] FILE PATH STATUS")
	}
	status, text := fetched(ts, host, args[0], args[1])
	if fmt.Sprint(status) != args[2] {
		ts.Fatalf("%s: status %d, want %s", args[1], status, args[2])
	}
	_, err := ts.Stdout().Write(text)
	ts.Check(err)
}

// shows waits until a page of a server whose address stands in a file, or a file,
// holds a text: shows FILE PATH TEXT, shows FILE TEXT.
func shows(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 && len(args) != 3 {
		ts.Fatalf("usage: shows FILE [PATH] TEXT")
	}
	var text []byte
	for deadline := time.Now().Add(scriptPatience); !bytes.Contains(text, []byte(args[len(args)-1])); time.Sleep(
		50 * time.Millisecond) {
		if time.Now().After(deadline) {
			ts.Fatalf("%v never shows up; it reads %.2000s", args, text)
		}
		if len(args) == 3 {
			_, text = fetched(ts, "", args[0], args[1])
		} else {
			text, _ = os.ReadFile(ts.MkAbs(args[0])) // not there while it is replaced
		}
	}
}

func fetched(ts *testscript.TestScript, host, file, path string) (status int, body []byte) {
	address, deadline := "", time.Now().Add(scriptPatience)
	for !strings.HasSuffix(address, "/\n") {
		if time.Now().After(deadline) {
			ts.Fatalf("no address in %s: %q", file, address)
		}
		time.Sleep(20 * time.Millisecond)
		text, _ := os.ReadFile(ts.MkAbs(file)) // not there yet
		address = string(text)
	}
	client := http.Client{Timeout: time.Minute}
	request, err := http.NewRequest(http.MethodGet, strings.TrimSpace(address)+strings.TrimPrefix(path, "/"), nil)
	ts.Check(err)
	request.Host = host
	got, err := client.Do(request)
	ts.Check(err)
	defer got.Body.Close()
	body, err = io.ReadAll(got.Body)
	ts.Check(err)
	return got.StatusCode, body
}

// mean asserts how many values a column of a table has and their mean, to the
// decimals that the wanted mean is written with: mean FILE COLUMN COUNT MEAN.
func mean(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 4 {
		ts.Fatalf("usage: mean FILE COLUMN COUNT MEAN")
	}
	rows, err := csv.NewReader(strings.NewReader(ts.ReadFile(args[0]))).ReadAll()
	ts.Check(err)
	column := slices.Index(rows[0], args[1])
	if column < 0 {
		ts.Fatalf("%s has no column %q but %q", args[0], args[1], rows[0])
	}
	n, sum := 0, 0.0
	for _, row := range rows[1:] {
		if row[column] != "" {
			v, err := strconv.ParseFloat(row[column], 64)
			ts.Check(err)
			n++
			sum += v
		}
	}
	_, decimals, _ := strings.Cut(args[3], ".")
	if got := fmt.Sprintf("%d %.*f", n, len(decimals), sum/float64(n)); got != args[2]+" "+args[3] {
		ts.Fatalf("%s: number and mean are %s, want %s %s", args[1], got, args[2], args[3])
	}
}

// address puts host and port of the server whose address stands in a file into a
// variable: address FILE NAME.
func address(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: address FILE NAME")
	}
	ts.Setenv(args[1], strings.TrimSuffix(strings.TrimPrefix(ts.ReadFile(args[0]), "http://"), "/\n"))
}

// ownSum asserts that the sha256 in the JSON on standard output is that of the program that
// scripts run: own-sum.
func ownSum(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 {
		ts.Fatalf("usage: own-sum")
	}
	path, err := exec.LookPath("soletrial")
	ts.Check(err)
	text, err := os.ReadFile(path)
	ts.Check(err)
	jsonHas(ts, false, []string{"sha256", fmt.Sprintf("%x", sha256.Sum256(text))})
}
