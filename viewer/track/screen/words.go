package screen

import (
	"strconv"
	"strings"
	"time"

	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
	"soletrial/viewer/track/session"
)

// Cautions stand on the first screen, in short; the sheet of a plan has them in full.
var Cautions = []string{
	"This page is a stopwatch and a list. It does not clear anyone to run and is not medical advice: local rules, " +
		"event medics and licensed clinicians come first.",
	"Stop at once at chest pain, dizziness, confusion or sudden pain, and call the emergency number where you are.",
	"In heat, lightning, smoke or ice, run another day. Do not run hard alone. Stand still to look at the phone.",
}

// ill is the reason after which the page speaks of stopping.
const ill = "Unwell or in pain"

var otherShoeReasons = []string{"Put on by mistake", "Planned shoe hurts", "Planned shoe is broken or wet"}

// What a person is likely to say when asked why.
var reasons = map[string][]string{
	"early": {ill, "Somebody in the way", "Miscounted", "Watch or sensor failed"},
	"skip":  {"Short of time", ill, "Shoe not here", "Weather"},
	"again": {"Interrupted", "Off the target", "Watch or sensor failed", "Wrong shoe"},
	"swap":  otherShoeReasons,
	"wore":  otherShoeReasons,
	"why":   {ill, "Short of time", "Weather", "Asked to leave the track"},
}

// actName says what an event was, for the buttons that take it back.
func actName(k session.Kind) string {
	name, found := map[session.Kind]string{
		session.Weighed: "weights", session.Conditions: "weather", session.Sensor: "foot sensor",
		session.Pass:      "skip",
		session.WarmStart: "warm-up start", session.WarmEnd: "warm-up end", session.Start: "block start",
		session.Lap: "lap", session.End: "block end", session.Signal: "end at the signal", session.Early: "reason",
		session.Exertion: "exertion", session.Comfort: "comfort", session.Noted: "note", session.Skip: "skipped block",
		session.Again: "run again", session.Swap: "other shoe", session.Wore: "other shoe", session.Stop: "stop",
		session.OnlyBlock: "block only", session.Stopped: "reason",
		session.Finish: "finish", session.Remark: "remark",
	}[k]
	if !found {
		return "last tap"
	}
	return name
}

// span writes seconds as m:ss or h:mm:ss, without what is left of the last second.
func span(s float64) string { return units.FormatClock(float64(int(s))) }

// target says what to hold.
func target(p *session.Plan) string {
	if p.Target == "" {
		return "steady " + p.Effort.Name()
	}
	switch p.Effort {
	case trial.Pace:
		return p.Target + " per km"
	case trial.HeartRate:
		return p.Target + " bpm"
	}
	return p.Target + " W"
}

// tied keeps words on one line.
func tied(text string) string { return strings.ReplaceAll(text, " ", "\u00a0") }

// length says how long a block is, "" where that is not planned.
func length(p *session.Plan) string {
	if !known(p.BlockS) {
		return ""
	}
	return minutes(p.BlockS)
}

// minutes writes seconds as "6 min", "5 min 30 s" or "45 s".
func minutes(s float64) string {
	whole, left := int(s)/60, int(s)%60
	text := ""
	if whole > 0 {
		text = strconv.Itoa(whole) + " min"
	}
	if left > 0 || whole == 0 {
		text = joined(" ", text, strconv.Itoa(left)+" s")
	}
	return text
}

func known(x float64) bool { return units.Known(x) && x > 0 }

// day writes a date as people do: 7 March 2026.
func day(date string) string {
	t, err := time.Parse("2006-01-02", date)
	if err != nil {
		return date
	}
	return t.Format("2 January 2006")
}

// count is a number with its noun.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
