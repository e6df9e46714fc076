package main

import (
	"fmt"
	"strings"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

const datasetYAML = `# Invented data: made by scripts/demo with a fixed seed. Nobody ran this.
title: Which of four shoes for a spring half marathon? (invented demonstration)
description: >-
  A made-up runner compares four made-up shoes on a made-up track, mostly at a
  held power. The numbers were simulated to show what the program does with
  good sessions and with bad ones; they say nothing about any real shoe.
invented: true
licence: CC0-1.0
contributors:
  - name: Runner One (invented)
    role: runner and timekeeper
disclosure: Invented. In this story three pairs were bought and one was lent.
method:
  reference: tarrow
  trim: {head_s: 60, tail_s: 15, heart_rate_head_s: 180}
  confidence: 0.95
  drift: linear
  worthwhile_pct: 0.75
  weight_pct_per_100g: 1
  channels: {power_w: foot_sensor, speed_mps: foot_sensor, heart_rate_bpm: watch}
  races:
    - {distance_m: 10000, time: "41:30"}
    - {distance_m: 21097.5, time: "1:32:00"}
`

// sessionYAML writes the session as its runner would have.
func sessionYAML(o *outing) []byte {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("# Invented data.")
	line("date: %s", o.id[:len("2026-01-02")])
	line("start: %q", o.start)
	line("runner: %s", runner)
	line("venue: %s", o.venue)
	line("effort: %s", o.effort)
	line("target: %q", trial.FormatTarget(o.effort, o.target))

	// As planned.
	line("protocol:")
	line("  block_s: %s", units.FormatDecimal(o.blockS, 0))
	line("  rest_s: %s", units.FormatDecimal(o.restS, 0))
	line("  warm_up_s: %d", plannedWarmUp)
	line("  display: the held effort only")
	if !o.laboratory {
		line("  sensor: foot sensor on the laces of the left shoe, moved with every change")
	}

	// As it was on the day.
	line("conditions:")
	line("  air_c: %s", units.FormatDecimal(o.airC, 1))
	line("  humidity_pct: %s", units.FormatDecimal(o.humidity, 0))
	if !o.laboratory {
		line("  wind_mps: %s", units.FormatDecimal(o.wind, 1))
	}
	line("  sky: %s", o.sky)
	line("  surface: %q", o.surface)
	if !o.laboratory {
		line("recordings:")
		line("  - {file: foot_sensor.csv, device: foot_sensor, mount: left shoe, offset_s: 0}")
		line("  - {file: watch.csv, device: watch, mount: left wrist with chest strap, offset_s: 0}")
	}

	// What went otherwise.
	if len(o.deviations) > 0 {
		line("deviations:")
		for _, d := range o.deviations {
			line("  - %q", d)
		}
	}
	if o.notes != "" {
		line("notes: %q", o.notes)
	}
	return []byte(b.String())
}
