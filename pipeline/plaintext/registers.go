package plaintext

import (
	"soletrial/pipeline/trial"
)

// The registers of a dataset, by file name.
const (
	runnersFile = "runners.csv"
	shoesFile   = "shoes.csv"
	venuesFile  = "venues.csv"
)

type runnerRow struct {
	ID          cell `csv:"id" need:"column"`
	Label       cell `csv:"label" need:"column"`
	MassKg      cell `csv:"mass_kg"`
	HeightCm    cell `csv:"height_cm"`
	LegLengthCm cell `csv:"leg_length_cm"`
}

func (w runnerRow) runner(r *report, taken map[string]int) trial.Runner {
	return trial.Runner{
		ID: r.id(w.ID, slugLetters, slugHint, taken), Label: r.label(w.Label),
		MassKg: r.number(w.MassKg, positive), HeightCm: r.number(w.HeightCm,
			positive), LegLengthCm: r.number(w.LegLengthCm, positive),
	}
}

func rowOfRunner(x trial.Runner) runnerRow {
	return runnerRow{
		ID: written(x.ID), Label: written(x.Label),
		MassKg: decimal(x.MassKg, 1), HeightCm: decimal(x.HeightCm, 1), LegLengthCm: decimal(x.LegLengthCm, 1),
	}
}

type shoeRow struct {
	ID         cell `csv:"id" need:"column"`
	Label      cell `csv:"label" need:"column"`
	MassG      cell `csv:"mass_g"`
	SizeEU     cell `csv:"size_eu"`
	HeelMm     cell `csv:"heel_mm"`
	ForefootMm cell `csv:"forefoot_mm"`
	Plate      cell `csv:"plate"`
	WornKm     cell `csv:"worn_km"`
	ExpectedKm cell `csv:"expected_km" old:"life_km"`
	Price      cell `csv:"price"`
	Currency   cell `csv:"currency"`
	Obtained   cell `csv:"obtained"`
	Notes      cell `csv:"notes"`
}

func (w shoeRow) shoe(r *report, taken map[string]int) trial.Shoe {
	return trial.Shoe{
		ID: r.id(w.ID, slugLetters, slugHint, taken), Label: r.label(w.Label),
		MassG: r.number(w.MassG, positive), SizeEU: r.number(w.SizeEU, positive),
		HeelMm: r.number(w.HeelMm, atLeast0), ForefootMm: r.number(w.ForefootMm, atLeast0),
		Plate: r.text(w.Plate), WornKm: r.number(w.WornKm, atLeast0), ExpectedKm: r.number(w.ExpectedKm, positive),
		Price: r.number(w.Price, atLeast0), Currency: r.currency(w.Currency, w.Price),
		Obtained: r.text(w.Obtained), Notes: r.text(w.Notes), At: w.ID.at,
	}
}

func rowOfShoe(x trial.Shoe) shoeRow {
	return shoeRow{
		ID: written(x.ID), Label: written(x.Label), MassG: decimal(x.MassG, 1), SizeEU: decimal(x.SizeEU, 1),
		HeelMm: decimal(x.HeelMm, 1), ForefootMm: decimal(x.ForefootMm, 1), Plate: written(x.Plate),
		WornKm: decimal(x.WornKm, 1), ExpectedKm: decimal(x.ExpectedKm, 1), Price: decimal(x.Price,
			2), Currency: written(x.Currency), Obtained: written(x.Obtained), Notes: written(x.Notes),
	}
}

type venueRow struct {
	ID        cell `csv:"id" need:"column"`
	Label     cell `csv:"label" need:"column"`
	Kind      cell `csv:"kind"`
	LapM      cell `csv:"lap_m"`
	Lane      cell `csv:"lane"`
	AltitudeM cell `csv:"altitude_m"`
}

func (w venueRow) venue(r *report, taken map[string]int) trial.Venue {
	return trial.Venue{
		ID: r.id(w.ID, slugLetters, slugHint, taken), Label: r.label(w.Label), Kind: r.oneOf(w.Kind, trial.VenueKinds),
		LapM: r.number(w.LapM, positive), Lane: r.number(w.Lane, atLeast1), AltitudeM: r.number(w.AltitudeM, anyNumber),
	}
}

func rowOfVenue(x trial.Venue) venueRow {
	return venueRow{
		ID: written(x.ID), Label: written(x.Label), Kind: written(x.Kind),
		LapM: decimal(x.LapM, 3), Lane: decimal(x.Lane, 0), AltitudeM: decimal(x.AltitudeM, 1),
	}
}

// readRegister reads a register's rows and turns each into a value; whole is
// false when rows are lost.
func readRegister[R, V any](src source, r *report, value func(R, *report, map[string]int) V) (values []V, whole bool) {
	rows, whole := readTable[R](src, r)
	taken := map[string]int{}
	for _, row := range rows {
		values = append(values, value(row, r, taken))
	}
	return values, whole
}

// AppendRunners appends runners.csv in canonical form.
func AppendRunners(dst []byte, runners []trial.Runner) []byte {
	return appendRegister(dst, runners, rowOfRunner)
}

// AppendShoes appends shoes.csv in canonical form.
func AppendShoes(dst []byte, shoes []trial.Shoe) []byte {
	return appendRegister(dst, shoes, rowOfShoe)
}

// AppendVenues appends venues.csv in canonical form.
func AppendVenues(dst []byte, venues []trial.Venue) []byte {
	return appendRegister(dst, venues, rowOfVenue)
}
