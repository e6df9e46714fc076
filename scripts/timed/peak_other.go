//go:build !unix

package timed

import (
	"os"
	"time"
)

// Used is not known here.
func Used() time.Duration { return 0 }

// PeakMB is not known here.
func PeakMB(*os.ProcessState) int64 { return 0 }
