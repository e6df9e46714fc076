package cli

import (
	"math"
	"path/filepath"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/compare"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/plan"
	"soletrial/pipeline/randomise"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// writePlan writes plan.yaml, session.yaml where there is none, and the sheet.
func (a *app) writePlan(o planOptions, ds *trial.Dataset, s *trial.Session, set *randomise.Set, out expectation) error {
	// The plan, and a session to hold it where there is none.
	files := map[string][]byte{s.Folder() + "/plan.yaml": plaintext.AppendPlan(nil, s.Plan)}
	if ds.Session(s.ID) == nil {
		text, err := yamltext.NewSession(&s.Facts)
		if err != nil {
			return voice.Usage("", "cannot write session.yaml: %v", err)
		}
		files[s.Folder()+"/session.yaml"] = text
	}
	changed, err := a.write(files)
	if err != nil {
		return err
	}
	// The sheet and the workout, outside the dataset.
	sheet := plan.NewSheet(ds, s)
	if out.known && out.outlook.SameOutOfReach() {
		sheet.CountLaps()
	}
	if o.sheet != "" {
		folder, name := filepath.Split(filepath.Clean(o.sheet))
		if _, err := dataset.Write(filepath.Clean(folder), map[string][]byte{name: []byte(sheet.HTML())},
			nil); err != nil {
			a.Remark("the plan itself was written")
			return err
		}
	}
	if o.workout != "" {
		text, err := workout(s, compare.Labels(ds))
		if err == nil {
			folder, name := filepath.Split(filepath.Clean(o.workout))
			_, err = dataset.Write(filepath.Clean(folder), map[string][]byte{name: text}, nil)
		}
		if err != nil {
			a.Remark("the plan itself was written")
			return err
		}
	}
	return a.tellPlan(o, ds, s, set, sheet, changed, out)
}

// tellPlan prints the sheet, and what to do next.
func (a *app) tellPlan(o planOptions, ds *trial.Dataset, s *trial.Session, set *randomise.Set, sheet plan.Sheet,
	changed []string, out expectation) error {
	if a.JSON {
		return a.PrintJSON(map[string]any{
			"half_width_pct": voice.JSONNumber(out.halfWidthPct),
			"session":        s.ID, "order": s.Plan.Order, "shoes": s.Plan.Shoes, "seed": o.seed,
			"place": s.Plan.Draw.Place, "orders": len(set.Orders), "considered": set.Considered,
			"sampled": set.Sampled, "places_apart": randomise.Imbalance(s.Plan.Order), "sheet": o.sheet,
			"written": append([]string{}, changed...),
		})
	}
	// The sheet and what was written.
	a.Printf("%s", sheet.Text())
	for _, path := range changed {
		a.Remark("wrote %s", path)
	}
	for _, file := range []string{o.sheet, o.workout} {
		if file != "" {
			a.Remark("wrote %s", file)
		}
	}
	// How the order was drawn, and what it does about getting tired.
	from := "all orders there are"
	if set.Sampled {
		from = "a sample: there are too many to try all"
	}
	a.Remark("order %.0f of %d, drawn with seed %d; %d were looked at, %s", s.Plan.Draw.Place, len(set.Orders),
		o.seed, set.Considered, from)
	if apart := units.FormatDecimal(randomise.Imbalance(s.Plan.Order), 1); apart == "0.0" {
		a.Remark("each shoe's average place in the session is the same, so tiredness affects all shoes alike")
	} else {
		a.Remark("the average places of the shoes in the session are at most %s blocks apart; the analysis "+
			"corrects for tiredness", apart)
	}
	if math.IsInf(set.Curved, 1) && len(s.Plan.Draw.Earlier) == 0 {
		a.Remark("a slow first block or a hard last one can pass for a shoe here; " +
			"a second planned session rules that out")
	}
	// What answer to expect, and what to do for a better one.
	for _, line := range out.lines() {
		a.Remark("%s", line)
	}
	if venue := ds.Venue(s.Facts.Venue); venue == nil || !units.Known(venue.LapM) {
		a.Remark("count the laps (or measure the metres) of every block, and write lap_m into venues.csv. Without " +
			"them the sensor's own error remains, and the data can hardly show that two shoes are practically the same")
	} else {
		a.Remark("count the laps of every block. Without them the sensor's own error remains, and the data can " +
			"hardly show that two shoes are practically the same")
	}
	a.Remark("commit it before the run: a reader can then check that it came first")
	return nil
}
