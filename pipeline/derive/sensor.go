package derive

import (
	"slices"

	"soletrial/pipeline/sensor"
)

// sensorChecks tabulates the sensor checks of the included blocks, without those that are
// none.
func sensorChecks(sessions []SessionResult) sensor.Table {
	var checks sensor.Table
	for i := range sessions {
		checks.Add(sessions[i].ID, sessions[i].includedRatios())
	}
	checks.DropComputedSteps()
	return checks
}

// includedRatios returns the ratios of the included blocks.
func (s *SessionResult) includedRatios() []sensor.Ratio {
	var out []string
	for i := range s.Blocks {
		if b := &s.Blocks[i]; !b.Included {
			out = append(out, b.Block)
		}
	}
	if len(out) == 0 {
		return s.Ratios
	}
	var in []sensor.Ratio
	for i := range s.Ratios {
		if r := &s.Ratios[i]; !slices.Contains(out, r.Block) {
			in = append(in, *r)
		}
	}
	return in
}
