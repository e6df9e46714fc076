package plaintext_test

import (
	"testing"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// An empty register is a form with every column; one with rows leaves out what is
// blank throughout.
func TestEmptyRegistersHaveEveryColumn(t *testing.T) {
	one := trial.Runner{ID: "r", Label: "R", MassKg: units.Missing, HeightCm: 170, LegLengthCm: units.Missing}
	for got, want := range map[string]string{
		string(plaintext.AppendShoes(nil, nil)): "id,label,mass_g,size_eu,heel_mm,forefoot_mm,plate," +
			"worn_km,expected_km,price,currency,obtained,notes\n",
		string(plaintext.AppendVenues(nil, nil)):                  "id,label,kind,lap_m,lane,altitude_m\n",
		string(plaintext.AppendRunners(nil, nil)):                 "id,label,mass_kg,height_cm,leg_length_cm\n",
		string(plaintext.AppendRunners(nil, []trial.Runner{one})): "id,label,height_cm\nr,R,170.0\n",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
