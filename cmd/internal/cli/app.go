package cli

import (
	"os"
	"runtime/debug"

	"soletrial/cmd/internal/cli/voice"
)

// app is one run of the program: its console, and the dataset while it is read.
type app struct {
	voice.Console
	reading *watched // the dataset's folder since it was opened; nil before
	said    string   // the failure that serve printed last
}

// spareMemory lets garbage lie while there is little of it, which saves a tenth of
// the time, and has it taken away at once beyond a bound, which rises with the
// sessions: their results take room to the end. The usual variables of the runtime
// overrule it.
func spareMemory(sessions int) {
	const percent, bound, each = 400, 200 << 20, 25_000
	if os.Getenv("GOGC") == "" && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetGCPercent(percent)
		debug.SetMemoryLimit(max(bound, int64(sessions)*each))
	}
}
