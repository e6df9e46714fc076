package cli

import (
	"errors"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/answer"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/forecast"
	"soletrial/pipeline/units"
)

// speakerOver says the answers of a result over the race of a --race flag, by default the
// longest race that the dataset names.
func speakerOver(result *derive.Result, race string) (answer.Speaker, error) {
	s := answer.NewSpeaker(result.Dataset, result.Answers)
	if race == "" {
		return s, nil
	}
	asked, err := parseRace(race)
	s.Race = &asked
	return s, err
}

// parseRace reads a --race flag, such as "half=1:45:00".
func parseRace(text string) (race forecast.Race, err error) {
	distance, time, both := strings.Cut(text, "=")
	if !both {
		return race, voice.Usage("write the distance and the time, such as --race half=1:45:00",
			"--race: %q is not a race", text)
	}
	if race.DistanceM, err = forecast.ParseDistance(distance); err != nil {
		return race, misread("--race", err)
	}
	if race.TimeS, err = units.ParseDuration(time); err != nil {
		return race, misread("--race", err)
	}
	if speed := race.DistanceM / race.TimeS; !(speed >= slowestRun && speed <= fastestRun) {
		return race, voice.Usage("write the time as h:mm:ss or m:ss", "--race: %s in %s is not a running speed",
			forecast.DistanceText(race.DistanceM), time)
	}
	return race, nil
}

// The speeds of a race that are believed, m/s: walking is slower, and no one has
// run 1500 m faster.
const slowestRun, fastestRun = 1.0, 7.5

// misread is the error of a flag, with the hint that its syntax has.
func misread(flag string, err error) error {
	var syntax *units.SyntaxError
	if errors.As(err, &syntax) {
		return voice.Usage(syntax.Hint, "%s: %v", flag, err)
	}
	return voice.Usage("", "%s: %v", flag, err)
}
