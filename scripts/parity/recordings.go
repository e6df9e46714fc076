package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// recordings are real ones, beside the repository where they are there at all.
const recordings = "../shared/recordings"

// inventedShoes are invented: nobody knows what was on those feet.
const inventedShoes = "id,label,mass_g\nalder,Alder (invented),240.0\nbirch,Birch (invented),210.0\ncedar,Cedar " +
	"(invented),225.0\n"

// twoSensorMap names the columns of the one recording that holds two sensors' side by
// side.
const twoSensorMap = "power_w=pod_power,heart_rate_bpm=hrm_heart_rate,cadence_spm=hrm_cadence"

// imported makes a dataset of all the real recordings, one session each, with the
// program itself: whatever it makes of real files must be the same everywhere.
func imported(folder, from string) error {
	program := folder + "-soletrial"
	if err := build(program, "./cmd/soletrial"); err != nil {
		return err
	}
	soletrial := func(args ...string) error {
		if out, err := exec.Command(program, append([]string{"-d", folder}, args...)...).CombinedOutput(); err != nil {
			return fmt.Errorf("soletrial %s: %w: %s", strings.Join(args, " "), err, out)
		}
		return nil
	}
	if err := soletrial("init", folder); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, "shoes.csv"), []byte(inventedShoes), 0o644); err != nil {
		return err
	}
	files, err := filepath.Glob(filepath.Join(from, "g*"))
	if err != nil {
		return err
	}
	sessions := 0
	for _, file := range files {
		session, _, _ := strings.Cut(filepath.Base(file), "_")
		args := []string{"import", "-s", session, "--target", "250", "--date", "2020-02-02", file}
		switch {
		case strings.HasSuffix(file, "_paired_sole_wear.csv"):
			continue // a table of wear, not a run
		case strings.HasSuffix(file, "_two_sensors.csv"):
			args = append(args, "--map", twoSensorMap)
		}
		if err := soletrial(args...); err != nil {
			return err
		}
		if err := assignShoes(filepath.Join(folder, "sessions", session, "blocks.csv")); err != nil {
			return err
		}
		sessions++
	}
	if sessions < 8 {
		return fmt.Errorf("only %d of the files in %s became sessions", sessions, from)
	}
	return soletrial("tidy")
}

// assignShoes writes a shoe into every proposed block, in turn.
func assignShoes(path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return err
	}
	for i, row := range rows[1:] {
		row[1] = []string{"alder", "birch", "cedar"}[i%3]
	}
	var out bytes.Buffer
	if err := csv.NewWriter(&out).WriteAll(rows); err != nil {
		return err
	}
	return os.WriteFile(path, out.Bytes(), 0o644)
}
