package cli

import (
	"encoding/csv"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"soletrial/cmd/internal/cli/dataset"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/decide"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// maxRankingBytes is how large the ranking of a published site may be.
const maxRankingBytes = 10 << 20

// changeSince says what changed in the answer since the site that stands in a folder; ""
// where none does, or where it is of a version that had no ranking.
func changeSince(out string, result *derive.Result) string {
	path := filepath.Join(out, "data", "derived", "ranking.csv")
	if !dataset.Exists(path) {
		return ""
	}
	text, err := dataset.ReadOutside(path, maxRankingBytes)
	if err != nil {
		return ""
	}
	return answer.NewSpeaker(result.Dataset, result.Answers).Change(earlierRanking(string(text)))
}

// earlierRanking reads what a published ranking.csv says, by the names of its columns; of
// a table without them it returns nothing.
func earlierRanking(text string) (earlier []answer.Earlier) {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil
	}
	at := map[string]int{}
	for _, name := range []string{"effort", "group", "status", "place", "shoe", "chance_best"} {
		if at[name] = slices.Index(rows[0], name); at[name] < 0 {
			return nil
		}
	}
	for _, row := range rows[1:] {
		group, err := strconv.Atoi(row[at["group"]])
		place, other := strconv.Atoi(row[at["place"]])
		best, odd := units.ParseDecimal(row[at["chance_best"]])
		if err != nil || other != nil || odd != nil {
			continue
		}
		earlier = append(earlier, answer.Earlier{Effort: trial.Effort(row[at["effort"]]), Group: group,
			Status: decide.Status(row[at["status"]]), Place: place, Shoe: row[at["shoe"]], Best: best})
	}
	return earlier
}
