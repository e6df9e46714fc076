package sums

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"soletrial/pipeline/answer"
	"soletrial/pipeline/english"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// columns are the columns of the file, in order. Numbers that a decision rests on have all
// their digits; the steps are whole numbers of the last decimal, each but the first written as
// its difference from the one before.
var columns = []string{"session", "date", "runner", "block", "shoe", "effort", "target", "included", "order", "start_s",
	"end_s", "midpoint_s", "speed_device", "speed_on_shoe", "power_device", "power_on_shoe", "sensor", "ground_m",
	"sensor_m", "head_s", "tail_s", "heart_rate_head_s", "speed_mps", "heart_rate_bpm", "held", "speed_steps",
	"heart_rate_steps", "power_steps"}

// scale is by what the steps of each channel are multiplied before they are rounded.
var scale = [ChannelCount]float64{Speed: 1000, HeartRate: 10, Power: 10}

// Write writes blocks as CSV.
func Write(blocks []Block) []byte {
	var text bytes.Buffer
	w, number := csv.NewWriter(&text), units.FormatExact
	_ = w.Write(columns) // to memory
	for i := range blocks {
		b := &blocks[i]
		m := b.Windows[0]
		row := []string{b.Session, b.Date, b.Runner, b.ID, b.Shoe, string(b.Effort), number(b.Target),
			english.YesNo(b.Included), strconv.Itoa(b.Order), number(b.Start), number(b.End), number(b.Midpoint),
			b.Speed.Device, english.YesNo(b.Speed.OnShoe), b.Power.Device, english.YesNo(b.Power.OnShoe), b.Sensor,
			number(b.GroundM), number(b.SensorM), number(b.Published.HeadS), number(b.Published.TailS),
			number(b.Published.HeartRateHeadS), number(m.Speed), number(m.HeartRate), number(m.Effort)}
		for channel, steps := range b.Steps {
			row = append(row, writeSteps(steps, scale[channel]))
		}
		_ = w.Write(row)
	}
	w.Flush()
	return text.Bytes()
}

func writeSteps(steps []float64, scale float64) string {
	var text []byte
	before := 0
	for i, x := range steps {
		if i > 0 {
			text = append(text, ' ')
		}
		if !units.Known(x) {
			text = append(text, '-') // missing; the next differs from the last that is not
			continue
		}
		at := int(math.Round(x * scale))
		text = strconv.AppendInt(text, int64(at-before), 10)
		before = at
	}
	return string(text)
}

// Read reads what [Write] wrote. The error names the line and what is wrong with it.
func Read(text []byte) ([]Block, error) {
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("the 5-second sums cannot be read: %w", err)
	}
	if len(rows) == 0 || strings.Join(rows[0], ",") != strings.Join(columns, ",") {
		return nil, fmt.Errorf("the 5-second sums have other columns than this program reads: publish the site again")
	}
	blocks := make([]Block, 0, len(rows)-1)
	for i, row := range rows[1:] {
		b, problem := readBlock(row)
		if problem != "" {
			return nil, fmt.Errorf("the 5-second sums, line %d: %s: publish the site again", i+2, problem)
		}
		blocks = append(blocks, b)
	}
	return blocks, nil
}

// readBlock reads one line; problem says what cannot be read.
func readBlock(row []string) (b Block, problem string) {
	next := func() string {
		cell := row[0]
		row = row[1:]
		return cell
	}
	decimal := func() float64 {
		cell := next()
		if cell == "" {
			return units.Missing
		}
		x, err := strconv.ParseFloat(cell, 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			problem = fmt.Sprintf("%q is no number", cell)
		}
		return x
	}
	// What the block is.
	b.Session, b.Date, b.Runner, b.ID, b.Shoe = next(), next(), next(), next(), next()
	b.Effort, b.Target, b.Included = trial.Effort(next()), decimal(), next() == "yes"
	b.Order, _ = strconv.Atoi(next())
	b.Start, b.End, b.Midpoint = decimal(), decimal(), decimal()
	// How it was measured.
	b.Speed = answer.Source{Device: next(), OnShoe: next() == "yes"}
	b.Power = answer.Source{Device: next(), OnShoe: next() == "yes"}
	b.Sensor, b.GroundM, b.SensorM = next(), decimal(), decimal()
	// Its means and its steps.
	b.Published.HeadS, b.Published.TailS, b.Published.HeartRateHeadS = decimal(), decimal(), decimal()
	b.Windows = []answer.Means{{Speed: decimal(), HeartRate: decimal(), Effort: decimal()}}
	for channel := range b.Steps {
		cell, ok := next(), false
		if b.Steps[channel], ok = readSteps(cell, scale[channel]); !ok {
			problem = fmt.Sprintf("%.40q are no steps", cell)
		}
	}
	return b, problem
}

func readSteps(text string, scale float64) (steps []float64, ok bool) {
	at := 0
	for _, word := range strings.Fields(text) {
		if word == "-" {
			steps = append(steps, units.Missing)
			continue
		}
		by, err := strconv.Atoi(word)
		if err != nil {
			return nil, false
		}
		at += by
		steps = append(steps, float64(at)/scale)
	}
	return steps, true
}
