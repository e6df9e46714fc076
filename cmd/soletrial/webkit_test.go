package main_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"soletrial/pipeline/recording/fittest"
)

// WebKit is the only engine of many phones. Debian has it with a driver and a browser
// made for tests (`sh scripts/need.sh webkit`), which draws on a display of its own.

// kit is one page of a WebKit of its own.
type kit struct {
	*driven
	faults  []string // of the pages so far
	mu      sync.Mutex
	strange []string // requests to other hosts
}

// webkitDriver is the program that drives WebKit.
func webkitDriver(t testing.TB) string {
	t.Helper()
	needsBrowser(t)
	for _, name := range []string{os.Getenv("WEBKIT"), "WebKitWebDriver"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("SOLETRIAL_WEBKIT") == "required" {
		t.Fatal("no WebKit found")
	}
	t.Skip("no WebKit found: run `sh scripts/need.sh webkit`")
	return ""
}

// display starts a display without a screen and returns its name, or that of the one
// there is.
func display(t testing.TB) string {
	t.Helper()
	program, err := exec.LookPath("Xvfb")
	if err != nil {
		if there := os.Getenv("DISPLAY"); there != "" {
			return there
		}
		t.Skip("no display for WebKit: run `sh scripts/need.sh xvfb`")
	}
	number, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer number.Close()
	command := exec.Command(program, "-displayfd", "3", "-screen", "0", "1400x1100x24", "-nolisten", "tcp")
	command.ExtraFiles = []*os.File{write}
	start(t, command)
	write.Close()
	line, err := bufio.NewReader(number).ReadString('\n')
	if err != nil {
		t.Fatalf("Xvfb names no display: %v", err)
	}
	return ":" + strings.TrimSpace(line)
}

// start starts a program that is ended with the test.
func start(t testing.TB, command *exec.Cmd) {
	t.Helper()
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { command.Process.Kill(); command.Wait() })
}

// openKit starts WebKit in a window of the given size.
func openKit(t testing.TB, server *httptest.Server, width, height int) (*foreign, *kit) {
	t.Helper()
	program, k := webkitDriver(t), &kit{}
	other := httptest.NewServer(http.HandlerFunc(k.asked))
	t.Cleanup(other.Close)
	proxy := strings.TrimPrefix(other.URL, "http://")
	wishes := map[string]any{
		"proxy": map[string]any{"proxyType": "manual", "httpProxy": proxy, "sslProxy": proxy,
			"noProxy": []string{"127.0.0.1"}},
		"webkitgtk:browserOptions": map[string]any{"args": []string{"--automation"}},
		"timeouts":                 map[string]any{"pageLoad": 30000},
	}
	k.driven = beginKit(t, program, display(t), wishes)
	k.ask(http.MethodPost, "/window/rect", map[string]any{"width": width, "height": height}, nil)
	k.listens()
	return &foreign{engine: k, t: t, name: "WebKit", root: server.URL + below}, k
}

// beginKit starts the driver and with it the browser. On a busy machine it happens, seldom,
// that the two do not find each other and the driver never answers: then both are started anew.
func beginKit(t testing.TB, program, display string, wishes map[string]any) *driven {
	t.Helper()
	for try := 1; ; try++ {
		port, home := freePort(t), profileFolder(t)
		command := exec.Command(program, "--port="+port)
		command.Env = append(os.Environ(), "DISPLAY="+display, "HOME="+home, "XDG_CACHE_HOME="+home,
			"XDG_DATA_HOME="+home, "XDG_CONFIG_HOME="+home, "XDG_RUNTIME_DIR="+home, "GDK_BACKEND=x11",
			"LIBGL_ALWAYS_SOFTWARE=1")
		start(t, command)
		awaitPort(t, port)
		d, err := begin(t, "http://127.0.0.1:"+port, wishes)
		if err == nil {
			return d
		}
		t.Logf("try %d to start WebKit: %v", try, err)
		if try == 3 {
			t.FailNow()
		}
		command.Process.Kill()
	}
}

// hearing keeps what goes wrong in a page from here on: this form of WebDriver does not
// tell it.
const hearing = `(() => {
	const faults = window.faults = [];
	for (const level of ["error", "warn", "log"]) console[level] = (...words) => faults.push(level + ": " + words);
	addEventListener("error", (e) => faults.push("error: " + e.message + " " + (e.target?.src ?? "")), true);
	addEventListener("unhandledrejection", (e) => faults.push("rejection: " + e.reason));
	addEventListener("securitypolicyviolation", (e) => faults.push("policy: " + e.violatedDirective));
})()`

// navigate opens an address, and keeps what went wrong on the page before.
func (k *kit) navigate(address string) {
	k.t.Helper()
	k.hear()
	k.driven.navigate(address)
	k.evaluate(hearing)
}

// hear takes over what went wrong in the page.
func (k *kit) hear() {
	k.t.Helper()
	text := k.evaluate(`JSON.stringify((window.faults ?? []).splice(0))`)
	var faults []string
	if err := json.Unmarshal([]byte(text), &faults); err != nil {
		k.t.Fatal(err)
	}
	k.faults = append(k.faults, faults...)
}

// listens makes sure that what unfaulted looks for would be noticed.
func (k *kit) listens() {
	k.t.Helper()
	k.navigate("http://" + plainHost + "/")
	k.evaluate(`console.error("heard"), setTimeout(() => { throw new Error("thrown"); }),
		new Promise((done) => setTimeout(done, 50))`)
	k.hear()
	k.mu.Lock()
	defer k.mu.Unlock()
	if words := strings.Join(k.faults, "\n"); !strings.Contains(words, "heard") || !strings.Contains(words, "thrown") ||
		len(k.strange) == 0 {
		k.t.Fatalf("of a fault in the page and a request to another host only %q and %q are noticed", k.faults,
			k.strange)
	}
	k.faults, k.strange = nil, nil
}

// asked notes and refuses what should have gone to another host.
func (k *kit) asked(w http.ResponseWriter, r *http.Request) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.strange = append(k.strange, r.Method+" "+r.URL.String())
	http.Error(w, "no other hosts in this test", http.StatusForbidden)
}

func freePort(t testing.TB) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	return fmt.Sprint(listener.Addr().(*net.TCPAddr).Port)
}

// awaitPort waits until something listens there.
func awaitPort(t testing.TB, port string) {
	t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(20 * time.Millisecond) {
		connection, err := net.Dial("tcp", "127.0.0.1:"+port)
		if err == nil {
			connection.Close()
			return
		}
		if time.Now().After(end) {
			t.Fatalf("the driver of WebKit does not listen: %v", err)
		}
	}
}

// unfaulted fails the test for what went wrong in pages, and for other hosts.
func (k *kit) unfaulted() {
	k.t.Helper()
	k.hear()
	for _, fault := range k.faults {
		k.t.Errorf("WebKit reports %s", fault)
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, request := range k.strange {
		k.t.Errorf("WebKit asks another host: %s", request)
	}
}

// A recording of one's own, chosen in the browser's dialog: its blocks are proposed, it
// is kept in IndexedDB, and it is there again without a network.
func TestExplorerOwnRecordingInWebKit(t *testing.T) {
	server := serve(t, publish(t))
	f, k := openKit(t, server, 1280, 900)
	f.explore("")
	f.until(`navigator.serviceWorker.controller`)
	file := filepath.Join(t.TempDir(), "morning.fit")
	fit := fittest.Run(fittest.Spec{Blocks: 4, BlockS: 300, NativePower: true})
	if err := os.WriteFile(file, fit, 0o644); err != nil {
		t.Fatal(err)
	}
	k.choose("#own-file", file)
	f.until(`document.querySelectorAll("#own-blocks tbody tr").length === 4`)
	f.until(database(`const get = db.transaction("own").objectStore("own").get("recording");
		get.onsuccess = () => close(get.result?.byteLength > 0);`))
	server.Close()
	f.explore("?again") // another address, so that the page is loaded anew
	f.until(`document.querySelectorAll("#own-blocks tbody tr").length === 4`)
	k.unfaulted()
}

// tap clicks an element of the track page, once it is there and the page takes taps.
func (k *kit) tap(f *foreign, id string) {
	k.t.Helper()
	f.until(`document.getElementById("` + id + `")`)
	time.Sleep(400 * time.Millisecond) // more than the page takes for a trembling finger
	k.click("#" + id)
}

func (f *foreign) heading(text string) {
	f.t.Helper()
	f.until(`document.getElementById("now")?.textContent.startsWith("` + text + `")`)
}

// trackLacks is what the track page says on its first screen where the browser lacks
// something, with how a page finds that out.
var trackLacks = map[string]string{
	"cannot keep the screen on": `!navigator.wakeLock`,
	"cannot vibrate":            `!navigator.vibrate`,
	"does not keep the page":    `!navigator.serviceWorker`,
	"makes no sound":            `!self.AudioContext`,
	"keeps nothing":             `!self.indexedDB`,
	"plain http":                `!self.isSecureContext`,
}

// A block on the track page, without a network and with a reload in its middle; what the
// browser does not offer is said on the first screen.
func TestTrackInWebKit(t *testing.T) {
	server := serve(t, publishPlanned(t))
	f, k := openKit(t, server, 400, 700)
	f.navigate(f.root + "track/#" + plannedSession)
	f.heading("At the track")
	said := f.text("#track-app")
	for words, lacking := range trackLacks {
		if lacks := f.evaluate(lacking) == "true"; lacks != strings.Contains(said, words) {
			t.Errorf("%s is %v, and the first screen says %q", lacking, lacks, said)
		}
	}
	f.until(keptOffline)
	server.Close()
	again := func() { f.navigate(f.root + "track/?" + fmt.Sprint(time.Now().UnixNano()) + "#" + plannedSession) }
	again()
	f.heading("At the track")
	k.tap(f, "plan-"+plannedSession)
	for _, step := range [][2]string{{"Weigh", "pass"}, {"How is the weather", "pass"},
		{"Where is the foot sensor", "pass"}, {"Warm up", "pass"}, {"Put on Fennock", "start"}} {
		f.heading(step[0])
		k.tap(f, step[1])
	}
	f.heading("Fennock")
	k.tap(f, "lap")
	again()
	for _, step := range [][2]string{{"Fennock", "end"}, {"Block 1 ended", "reason-1"}, {"How hard", "exertion-3"},
		{"How comfortable", "comfort"}} {
		f.heading(step[0])
		k.tap(f, step[1])
	}
	k.tap(f, "keep")
	for _, step := range [][2]string{{"Anything to note", "pass"}, {"Put on Quenby", "stop"}, {"Stopped", "reason-1"}} {
		f.heading(step[0])
		k.tap(f, step[1])
	}
	f.heading("The log is complete")
	k.tap(f, "text")
	f.heading("fieldlog.yaml")
	log := readLog(t, f.text("#log"))
	if len(log.Blocks) != 1 || log.Blocks[0].RPE != 3 || log.Blocks[0].Laps != 1 ||
		!(log.Blocks[0].ComfortMm > 40 && log.Blocks[0].ComfortMm < 60) || len(log.Clock) != 1 {
		t.Errorf("the log holds %+v and %+v", log.Blocks, log.Clock)
	}
	k.unfaulted()
}
