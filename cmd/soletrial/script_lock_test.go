package main_test

import (
	"os"
	"sync"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"soletrial/cmd/internal/cli/dataset"
)

// hold writes to a folder for a while, as another command would; it is made if it is not
// there. With -site it is the folder of a site: hold [-site] DIR COMMAND TIME.
func hold(ts *testscript.TestScript, neg bool, args []string) {
	lock := dataset.Lock
	if len(args) > 0 && args[0] == "-site" {
		lock, args = dataset.LockSite, args[1:]
	}
	if neg || len(args) != 3 {
		ts.Fatalf("usage: hold [-site] DIR COMMAND TIME")
	}
	span, err := time.ParseDuration(args[2])
	ts.Check(err)
	dir := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(dir, 0o777))
	unlock, err := lock(dir, args[1], func(w dataset.Writer) { ts.Logf("hold waits for %v", w) })
	ts.Check(err)
	end := sync.OnceFunc(unlock)
	stageOf(ts).release = end
	time.AfterFunc(span, end)
}

// release ends what hold does.
func release(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 0 || stageOf(ts).release == nil {
		ts.Fatalf("usage: release, after hold")
	}
	stageOf(ts).release()
}
