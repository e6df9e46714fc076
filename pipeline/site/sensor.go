package site

import (
	"strings"

	"soletrial/pipeline/figure"
	"soletrial/pipeline/sensor"
	"soletrial/pipeline/trial"
)

// sensorTable shows checks of the sensor: mean ratios of blocks that are compared,
// by shoe. Rows pass the test keep.
func (s *site) sensorTable(caption string, rows []sensor.Row, keep func(*sensor.Row) bool) table {
	t := table{Cards: true, Caption: caption, Head: columns("Check", "Shoe", "#Ratio", "#Standard deviation", "#Blocks",
		"#95 % of blocks between")}
	for i := range rows {
		r := &rows[i]
		if !keep(r) {
			continue
		}
		between, agreement := "", r.Agreement()
		if r.Blocks() > 1 {
			between = figure.Plain(agreement.Lower.Value, 4) + " and " + figure.Plain(agreement.Upper.Value, 4)
		}
		t.Rows = append(t.Rows, []cell{
			text(checkWords(r.Check)), shoeCell(s.shoe(r.Shoe, "../")), numeric(figure.Plain(r.Ratio(), 4)),
			numeric(figure.Plain(r.SD(), 4)),
			numeric(figure.Plain(float64(r.Blocks()), 0)), numeric(between),
		})
	}
	return t
}

// checkWords names a check.
func checkWords(check string) string {
	switch check {
	case sensor.Ground:
		return "sensor distance over ground distance"
	case sensor.Steps:
		return "cadence × step length over speed"
	}
	column, devices, _ := strings.Cut(check, " ")
	if c, known := trial.ChannelNamed(column); known {
		column = c.Info().Label
	}
	return column + ", " + strings.Replace(devices, "/", " over ", 1)
}

func (s *site) sessionSensor(id string) table {
	return s.sensorTable("Sensor checks of this session", s.lookup.ratios[id],
		func(*sensor.Row) bool { return true })
}

func (s *site) shoeSensor(id string) table {
	return s.sensorTable("Sensor checks of "+s.label(id)+" over all sessions", s.result.Sensor.Dataset,
		func(r *sensor.Row) bool { return r.Shoe == id })
}
