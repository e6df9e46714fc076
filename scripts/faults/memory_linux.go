package main

import (
	"os"
	"runtime/debug"
)

// forget gives back what memory is free, and lets the system forget how much it
// was: a program that is started inherits the most that its starter ever held.
func forget() {
	debug.FreeOSMemory()
	os.WriteFile("/proc/self/clear_refs", []byte("5"), 0) // proc(5); without it the figures are too high
}
