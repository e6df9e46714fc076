package dataset

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// noWaiting fails a test in which somebody is waited for.
func noWaiting(t *testing.T) func(Writer) {
	return func(w Writer) { t.Errorf("waits for %v", w) }
}

// One holder at a time, whoever comes; nothing is left at the end.
func TestLockOneAtATime(t *testing.T) {
	dir := t.TempDir()
	var inside, most int
	var mu sync.Mutex
	enter := func(step int) {
		mu.Lock()
		defer mu.Unlock()
		inside += step
		most = max(most, inside)
	}
	var all sync.WaitGroup
	for range 30 {
		all.Go(func() {
			release, err := Lock(dir, "derive", func(Writer) {})
			if err != nil {
				t.Error(err)
				return
			}
			enter(1)
			time.Sleep(time.Millisecond)
			enter(-1)
			release()
		})
	}
	all.Wait()
	if most != 1 {
		t.Errorf("%d held the lock at once", most)
	}
	holdsOnly(t, dir, nil)
}

// Who waits is told for whom.
func TestLockNamesTheWriter(t *testing.T) {
	dir := t.TempDir()
	release, err := Lock(dir, "import", noWaiting(t))
	if err != nil {
		t.Fatal(err)
	}
	time.AfterFunc(2*quietWait, release)
	var told []string
	second, err := Lock(dir, "log", func(w Writer) { told = append(told, w.String()) })
	if err != nil {
		t.Fatal(err)
	}
	defer second()
	if want := fmt.Sprintf("import (process %d)", os.Getpid()); len(told) != 1 || told[0] != want {
		t.Errorf("told %q, want %q", told, want)
	}
}

// lockHolder names the folder that a process started by a test locks until it is killed.
const lockHolder = "SOLETRIAL_TEST_LOCK"

// The lock of a process that was killed is taken over without a wait.
func TestLockOfAKilledProcess(t *testing.T) {
	if dir := os.Getenv(lockHolder); dir != "" {
		release, err := Lock(dir, "import", noWaiting(t))
		if err != nil {
			t.Fatal(err)
		}
		defer release()
		fmt.Println("locked")
		time.Sleep(time.Minute)
		return
	}
	dir := t.TempDir()
	holder := exec.Command(os.Args[0], "-test.run=^TestLockOfAKilledProcess$")
	holder.Env = append(os.Environ(), lockHolder+"="+dir)
	out, err := holder.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := holder.Start(); err != nil {
		t.Fatal(err)
	}
	if line, err := bufio.NewReader(out).ReadString('\n'); line != "locked\n" {
		t.Fatalf("the holder says %q, %v", line, err)
	}

	// While it lives its lock holds, and it is named; then it is killed.
	var told string
	time.AfterFunc(3*quietWait, func() { holder.Process.Kill() })
	release, err := Lock(dir, "derive", func(w Writer) { told = w.String() })
	if err != nil {
		t.Fatal(err)
	}
	if want := fmt.Sprintf("import (process %d)", holder.Process.Pid); told != want {
		t.Errorf("waited for %q, want %q", told, want)
	}
	holder.Wait()
	release()
	holdsOnly(t, dir, nil)
}

// What a process left that is gone is no obstacle, whatever it says.
func TestLockAfterAnInterruption(t *testing.T) {
	for what, text := range map[string]string{
		"of this computer": Writer{"import", 4711, hostName(), "2026-11-30 14:03:00"}.text(),
		"half-written":     "command: imp", "empty": "", "no text": "\x00\xff", "long": strings.Repeat("x", 5000),
	} {
		dir := t.TempDir()
		writeFile(t, filepath.Join(dir, lockName), "")
		writeFile(t, filepath.Join(dir, writerName), text)
		release, err := Lock(dir, "derive", noWaiting(t))
		if err != nil {
			t.Errorf("%s: %v", what, err)
			continue
		}
		release()
		holdsOnly(t, dir, nil)
	}
}

// A writer on another computer, whose lock cannot be seen, is waited for a while; then
// the message says what to do, and what is in the folder stays as it is.
func TestLockOfAnotherComputer(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, writerName)
	elsewhere := Writer{"import", 4711, "elsewhere.example", "2026-11-30 14:03:00"}
	writeFile(t, path, elsewhere.text())
	waits := 0
	_, err := Lock(dir, "derive", func(w Writer) { waits++ })
	want := fmt.Sprintf(`%q is being written by import (process 4711 on "elsewhere.example", since `+
		`2026-11-30 14:03:00); this computer cannot tell whether that is still running`, dir)
	if err == nil || err.Error() != want || waits != 1 {
		t.Errorf("%v after %d messages, want %s", err, waits, want)
	}
	if readWriter(path) != elsewhere || Exists(filepath.Join(dir, lockName)) {
		t.Error("the other computer's file was changed, or a lock was left")
	}

	// It ends meanwhile.
	time.AfterFunc(5*pollInterval, func() { os.Remove(path) })
	release, err := Lock(dir, "derive", func(Writer) {})
	if err != nil {
		t.Fatal(err)
	}
	release()
	holdsOnly(t, dir, nil)
}

// Nothing but a file is locked, and a folder that is not there has nothing to lock.
func TestLockOfNoFile(t *testing.T) {
	dir := t.TempDir()
	if err := os.Symlink("elsewhere", filepath.Join(dir, lockName)); err != nil {
		t.Skip("no links here: ", err)
	}
	if _, err := Lock(dir, "derive", noWaiting(t)); err == nil || !strings.Contains(err.Error(), "is a link") ||
		Exists(filepath.Join(dir, "elsewhere")) {
		t.Errorf("a link was locked: %v", err)
	}
	release, err := Lock(filepath.Join(dir, "none"), "derive", noWaiting(t))
	if err != nil {
		t.Fatal(err)
	}
	release()
}

// A site's lock is beside it, under the site's name.
func TestLockSite(t *testing.T) {
	dir := t.TempDir()
	one, err := LockSite(filepath.Join(dir, "one"), "publish", noWaiting(t))
	if err != nil {
		t.Fatal(err)
	}
	two, err := LockSite(filepath.Join(dir, "two")+"/", "publish", noWaiting(t))
	if err != nil {
		t.Fatal(err)
	}
	if !Exists(filepath.Join(dir, lockName+"-one")) || !Exists(filepath.Join(dir, lockName+"-two")) {
		t.Error("no lock beside the sites")
	}
	one()
	two()
	holdsOnly(t, dir, nil)
}
