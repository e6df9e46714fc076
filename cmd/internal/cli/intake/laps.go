package intake

import (
	"soletrial/pipeline/recording"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// addLaps takes in a table of laps: it is no recording, its means go into blocks.csv.
func (in *Import) addLaps(p piece) {
	in.lapTables = append(in.lapTables, p)
	in.remark("%s has one row for each lap and no samples: import writes its means into blocks.csv. Checks that "+
		"need samples (steady window, sensor) are not possible", p.names())
}

// measureFromLaps writes into blocks the means of the laps that they are made of,
// weighted by the time that block and lap share.
func measureFromLaps(blocks []trial.Block, table *recording.Import) {
	for i := range blocks {
		b := &blocks[i]
		for m := range trial.MeasureCount {
			sum, seconds := 0.0, 0.0
			for k, lap := range table.Laps {
				shared := min(b.End, lap.EndS) - max(b.Start, lap.StartS)
				if value := table.Means[k][m]; shared > 0 && units.Known(value) {
					sum, seconds = sum+value*shared, seconds+shared
				}
			}
			if seconds > 0 {
				b.Measured[m] = units.Round(sum/seconds, 4)
			}
		}
	}
}
