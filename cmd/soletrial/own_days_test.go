package main_test

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// ownDays holds days of known truth: invented recordings, and in truth.json the blocks that
// were run. The second folder stands beside a checkout of the project, or is not there.
var ownDays = []string{"../../pipeline/recording/testdata/days", "../../../shared/days/a", "../../../shared/days/b"}

// The blocks that the explorer proposes of a recording of one's own are those that were run,
// as in the command line: with laps, without, with automatic ones, with a watch that was
// stopped, and with one file for each block, all chosen together.
func TestExplorerFindsTheBlocksOfADay(t *testing.T) {
	t.Parallel()
	p := open(t, serve(t, publish(t)), 1280)
	p.explore("")
	checked := 0
	for _, folder := range ownDays {
		text, err := os.ReadFile(filepath.Join(folder, "truth.json"))
		if err != nil {
			continue // not every checkout has the folders beside it
		}
		var truth map[string]struct {
			Blocks [][2]float64 `json:"blocks"`
			Within float64      `json:"tolerance_s"`
		}
		if err := json.Unmarshal(text, &truth); err != nil {
			t.Fatal(err)
		}
		for name, day := range truth {
			files := []string{filepath.Join(folder, name)}
			together := strings.Contains(name, "...")
			if together {
				files, _ = filepath.Glob(filepath.Join(folder, "block?.fit"))
			}
			if len(day.Blocks) == 0 {
				continue
			}
			p.giveFiles(files)
			p.until(fmt.Sprintf(`document.querySelectorAll("#own-blocks tbody tr").length === %d`, len(day.Blocks)))
			shift := 0.0
			for i, want := range day.Blocks {
				from, to := p.seconds(fmt.Sprintf("own-start-%d", i+1)), p.seconds(fmt.Sprintf("own-end-%d", i+1))
				if together && i == 0 {
					shift = want[0] - from // the truth is on the clock of another recording
				}
				if math.Abs(from+shift-want[0]) > day.Within || math.Abs(to+shift-want[1]) > day.Within {
					t.Errorf("%s, block %d: %v to %v s, run from %v to %v", name, i+1, from+shift, to+shift, want[0],
						want[1])
				}
			}
			checked++
			p.do(chromedp.Click(chromedp.CSS("#do-own-forget")))
			p.until(`!document.getElementById("own-blocks")`)
		}
	}
	if checked < 5 {
		t.Errorf("%d days were examined, want those of the first folder at least", checked)
	}
	p.unfaulted()
}

// giveFiles chooses several files together in the file input, as a person would.
func (p *tab) giveFiles(paths []string) {
	p.t.Helper()
	var items []string
	for _, path := range paths {
		content, err := os.ReadFile(path)
		if err != nil {
			p.t.Fatal(err)
		}
		items = append(items, fmt.Sprintf("[%q, %q]", base64.StdEncoding.EncodeToString(content), filepath.Base(path)))
	}
	value[bool](p, fmt.Sprintf(`(() => {
		const give = new DataTransfer();
		for (const [text, name] of [%s])
			give.items.add(new File([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], name));
		const input = document.getElementById("own-file");
		if (!input.multiple && give.files.length > 1) throw new Error("one file only");
		input.files = give.files;
		return input.dispatchEvent(new Event("change", {bubbles: true}));
	})()`, strings.Join(items, ", ")))
}

// seconds reads a time of m:ss out of a field.
func (p *tab) seconds(id string) float64 {
	p.t.Helper()
	total := 0.0
	for _, part := range strings.Split(value[string](p, fmt.Sprintf(`document.getElementById(%q).value`, id)), ":") {
		x, err := strconv.ParseFloat(part, 64)
		if err != nil {
			p.t.Fatal(err)
		}
		total = 60*total + x
	}
	return total
}
