package recording

import (
	"slices"
	"strings"
	"unicode"

	"soletrial/pipeline/trial"
)

// channelWords lists the words of the trade for each channel, in the form that
// plain gives. They serve for CSV headings and for the names of developer fields.
var channelWords = [trial.ChannelCount][]string{
	trial.PowerW:    {"power", "watts"},
	trial.SpeedMps:  {"speed", "velocity", "pace", "enhanced_speed"},
	trial.DistanceM: {"distance", "dist"},
	trial.CadenceSpm: {"cadence", "cad", "step_rate", "step_frequency", "runcadence", "run_cadence",
		"running_cadence"},
	trial.StepLengthM: {"step_length", "stride_length"},
	trial.ContactMs: {
		"contact", "contact_time", "ground_contact_time", "ground_contact", "ground_time", "stance_time", "gct",
	},
	trial.OscillationCm: {"oscillation", "vertical_oscillation"},
	trial.HeartRateBpm:  {"heart_rate", "heartrate", "hr", "pulse", "bpm"},
	trial.AltitudeM:     {"altitude", "elevation", "ele", "alt", "enhanced_altitude"},
	trial.AirC:          {"temperature", "temp", "air_temperature", "atemp"},
}

// channelCalled returns the channel that a name stands for.
func channelCalled(name string) (trial.Channel, bool) {
	if c, ok := trial.ChannelNamed(name); ok {
		return c, true
	}
	word := plain(name)
	for c := range trial.ChannelCount {
		if slices.Contains(channelWords[c], word) {
			return c, true
		}
	}
	return 0, false
}

// plain gives a name in lower case with one underscore for whatever parts its
// words: "Contact Time", "contact-time" and "CONTACT_TIME" become "contact_time".
func plain(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name),
		func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(words, "_")
}
