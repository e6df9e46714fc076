package trial

// DataFormat is the version of a dataset's folder: its files, columns and keys, the derived
// tables among them. It goes up when a program that reads the older one would misread the
// newer.
const DataFormat = 1

// Dataset is everything a folder of plain text says, except the samples, which
// are read one recording at a time. Registers are sorted by id, sessions by
// date, then start, then id.
type Dataset struct {
	Facts    DatasetFacts
	Runners  []Runner
	Shoes    []Shoe
	Venues   []Venue
	Sessions []Session
}

// Runner returns the runner with the given id, or nil.
func (d *Dataset) Runner(id string) *Runner {
	return find(d.Runners, func(r Runner) string { return r.ID }, id)
}

// Shoe returns the shoe with the given id, or nil.
func (d *Dataset) Shoe(id string) *Shoe {
	return find(d.Shoes, func(s Shoe) string { return s.ID }, id)
}

// Venue returns the venue with the given id, or nil.
func (d *Dataset) Venue(id string) *Venue {
	return find(d.Venues, func(v Venue) string { return v.ID }, id)
}

// Session returns the session with the given id, or nil.
func (d *Dataset) Session(id string) *Session {
	return find(d.Sessions, func(s Session) string { return s.ID }, id)
}

// SessionsRun returns the sessions with a block, in their order. One with a plan alone is still to
// be run.
func (d *Dataset) SessionsRun() []*Session {
	var run []*Session
	for i := range d.Sessions {
		if len(d.Sessions[i].Blocks) > 0 {
			run = append(run, &d.Sessions[i])
		}
	}
	return run
}

// Reference returns the id of the shoe that others are compared with: the one
// the method names, else the first id of the register, else "".
func (d *Dataset) Reference() string {
	if d.Facts.Method.Reference != "" {
		return d.Facts.Method.Reference
	}
	if len(d.Shoes) > 0 {
		return d.Shoes[0].ID
	}
	return ""
}

func find[T any](list []T, id func(T) string, want string) *T {
	for i := range list {
		if id(list[i]) == want {
			return &list[i]
		}
	}
	return nil
}

// Runner is one person, known by an id and a label of their choosing.
type Runner struct {
	ID, Label   string
	MassKg      float64
	HeightCm    float64
	LegLengthCm float64
}

// Shoe is one pair of shoes. MassG is the mass of ONE shoe, the mean of left
// and right, as worn. ExpectedKm is how far the pair is expected to last, by the
// person's own reckoning; Price is of the pair, in Currency (three letters, ISO
// 4217).
type Shoe struct {
	ID, Label          string
	MassG, SizeEU      float64
	HeelMm, ForefootMm float64
	Plate              string
	WornKm, ExpectedKm float64
	Price              float64
	Currency           string
	Obtained, Notes    string
	At                 Position
}

// Venue is a place where sessions are run. LapM is the length of one lap in
// lane 1, Lane the lane that is run in; Kind is one of [VenueKinds].
type Venue struct {
	ID, Label, Kind       string
	LapM, Lane, AltitudeM float64
}

// VenueKinds lists the kinds of venue a register may name.
var VenueKinds = []string{"track", "road", "treadmill", "trail"}
