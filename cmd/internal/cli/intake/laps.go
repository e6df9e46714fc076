package intake

import "soletrial/cmd/internal/cli/voice"

// addLaps takes in a table of laps: it is no recording, its means go into blocks.csv.
// Another one beside it is refused, for nothing tells which of them counts.
func (in *Import) addLaps(p piece) error {
	if in.lapTable != nil {
		return voice.Usage("name one of them", "%s and %s both have one row for each lap",
			in.lapTable.names(), p.names())
	}
	in.lapTable = &p
	return nil
}

// sayLaps says what a table of laps is good for: nothing beside a recording, and nothing where
// there are blocks, of which import says that they stay as they are.
func (in *Import) sayLaps() {
	switch p := in.lapTable; {
	case p == nil:
	case !in.byLapTable():
		in.remark("%s was ignored: it has one row for each lap, and the recording beside it tells more", p.names())
	case len(in.Session.Blocks) == 0:
		in.remark("%s has one row for each lap and no samples: import writes its means into blocks.csv. Checks that "+
			"need samples (steady window, sensor) are not possible", p.names())
	}
}

// byLapTable reports whether the blocks are found by a table of laps alone: the session has no
// recording, of this import or an earlier one.
func (in *Import) byLapTable() bool {
	return in.lapTable != nil && len(in.Session.Facts.Recordings) == 0
}
