package site

import (
	"slices"
	"strconv"

	"soletrial/pipeline/derive"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// query is how to ask the published tables a question in some language, in six lines.
type query struct{ ID, Language, Needs, Text string }

// queries give the mean speed of each shoe over its included blocks, all the same numbers; the
// last reads samples, so that it knows no block that was measured without a recording and is
// not rounded before. They are run in the folder that the archive unpacks to.
var queries = []query{
	{"sql", "SQL", "DuckDB", `SELECT shoe, count(*) AS blocks,
       round(avg(speed_mps), 4) AS speed_mps
FROM read_csv('derived/blocks.csv', types = {'included': 'VARCHAR'})
WHERE included = 'yes' AND speed_mps IS NOT NULL
GROUP BY shoe
ORDER BY shoe;`},
	{"r", "R", "R alone", `blocks <- read.csv("derived/blocks.csv")
blocks <- subset(blocks, included == "yes" & !is.na(speed_mps))
means <- aggregate(speed_mps ~ shoe, data = blocks, FUN = mean)
means$blocks <- as.vector(table(blocks$shoe)[means$shoe])
means$speed_mps <- sprintf("%.4f", means$speed_mps)
print(means[c("shoe", "blocks", "speed_mps")], row.names = FALSE)`},
	{"python", "Python", "Python alone", `import csv, statistics
speeds = {}
for row in csv.DictReader(open("derived/blocks.csv", encoding="utf-8")):
    if row["included"] == "yes" and row["speed_mps"]:
        speeds.setdefault(row["shoe"], []).append(float(row["speed_mps"]))
for shoe, v in sorted(speeds.items()): print(shoe, len(v), f"{statistics.mean(v):.4f}")`},
	{"parquet", "SQL over all samples", "DuckDB, after: soletrial-export . -o lake",
		`WITH blocks AS (SELECT session, block, shoe,
    sum(speed_mps * speed_weight_s) / sum(speed_weight_s) AS speed_mps
  FROM read_parquet('lake/**/*.parquet', hive_partitioning = true)
  WHERE included GROUP BY session, block, shoe)
SELECT shoe, count(*) AS blocks, round(avg(speed_mps), 4) AS speed_mps
FROM blocks WHERE speed_mps IS NOT NULL GROUP BY shoe ORDER BY shoe;`},
}

// plainSpeeds is what the queries print: number and mean of the speeds as blocks.csv has them.
func plainSpeeds(sessions []derive.SessionResult) table {
	t := table{Caption: "What each of them prints", Head: columns("Shoe", "#Blocks", "#Speed, m/s")}
	sum, blocks := map[string]float64{}, map[string]int{}
	var shoes []string
	for i := range sessions {
		for j := range sessions[i].Blocks {
			b := &sessions[i].Blocks[j]
			speed := units.Round(b.Outcomes[trial.Speed], trial.Speed.Decimals())
			if !b.Included || !units.Known(speed) {
				continue
			}
			if blocks[b.Shoe] == 0 {
				shoes = append(shoes, b.Shoe)
			}
			sum[b.Shoe] += speed
			blocks[b.Shoe]++
		}
	}
	slices.Sort(shoes)
	for _, shoe := range shoes {
		mean := units.FormatDecimal(sum[shoe]/float64(blocks[shoe]), trial.Speed.Decimals())
		t.Rows = append(t.Rows, []cell{{Text: shoe, Code: true}, numeric(strconv.Itoa(blocks[shoe])), numeric(mean)})
	}
	return t
}
