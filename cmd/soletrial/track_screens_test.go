package main_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// answers are the buttons that must be in sight without scrolling: Stop, the main button,
// and where there is none, each of the answers; on the first screen the first of the buttons.
const answers = `#stop, .now .big, .now .scale button, .reasons > button, .now > .buttons > button,
	.home .big:not(.home .big ~ .big, .list ~ .list .big)`

// inSight checks that nobody has to scroll for what there is to tap.
func (p *phone) inSight(where string) {
	p.t.Helper()
	for _, id := range value[[]string](p.tab, "[...document.querySelectorAll(`"+answers+"`)]"+`.filter((b) => {
		const r = b.getBoundingClientRect();
		const top = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
		return scrollY !== 0 || r.top < 0 || r.bottom > innerHeight || top !== b && !b.contains(top);
	}).map((b) => b.id + " at " + Math.round(b.getBoundingClientRect().bottom))`) {
		p.t.Errorf("%s, %v: the button %s is out of sight", where, p.size, id)
	}
}

// looked checks a screen: it fits the phone, what to tap is in sight, axe-core finds nothing in light and in
// dark colours, and what cannot be told from the screen before has the focus. With
// SOLETRIAL_SHOTS it takes a picture of what is in view.
func (p *phone) looked(program, where string) {
	p.t.Helper()
	if !value[bool](p.tab, `typeof axe === "object"`) {
		value[bool](p.tab, program+";true")
	}
	p.fits(where)
	p.inSight(where)
	for _, view := range []struct{ scheme, rules string }{{"light", everyRule}, {"dark", colourRules}} {
		p.see(look{p.size[0], view.scheme})
		p.hold()
		if folder := os.Getenv("SOLETRIAL_SHOTS"); folder != "" {
			p.view(filepath.Join(folder, fmt.Sprintf("track-%d-%s-%s.png", p.size[0], where, view.scheme)))
		}
		for _, v := range violations(p.tab, view.rules) {
			for _, n := range v.Nodes {
				p.t.Errorf("%s, %d px, %s: %s (%s): %.200s\n%s", where, p.size[0], view.scheme, v.ID, v.Help, n.HTML,
					n.FailureSummary)
			}
		}
	}
	p.see(look{p.size[0], "light"})
	p.hold()
}

// view takes a picture of what is in view.
func (p *phone) view(path string) {
	p.t.Helper()
	picture, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.WriteFile(path, picture, 0o644)
	}
	if err != nil {
		p.t.Error(err)
	}
}

// Every screen there is, in the order of a day on which much goes wrong.
func TestTrackScreens(t *testing.T) {
	site, program := publishPlanned(t), axe(t)
	for _, size := range phones {
		t.Run(fmt.Sprint(size[0]), func(t *testing.T) {
			t.Parallel()
			p := atTrack(t, serve(t, site), size[0], size[1])
			p.do(chromedp.Navigate(p.root + "track/"))
			look := func(heading, where string) {
				p.heading(heading)
				p.looked(program, where)
			}
			p.screensBefore(look)
			p.screensOfABlock(look)
			p.screensOfTrouble(look)
			p.unfaulted()
		})
	}
}

func (p *phone) screensBefore(look func(heading, where string)) {
	p.t.Helper()
	look("At the track", "home")
	p.tap("form")
	look("Plan a session here", "form")
	p.tap("back")
	p.heading("At the track")
	p.tap("plan-" + plannedSession)
	look("Weigh Fennock", "weigh")
	p.fill("left", "2")
	p.tap("keep")
	p.until(`/write a number from 20 to 2000/.test(document.querySelector(".notice")?.textContent)`)
	look("Weigh Fennock", "weigh-wrong")
	p.tap("pass")
	look("How is the weather", "weather")
	p.tap("pass")
	look("Where is the foot sensor", "sensor")
	p.tap("pass")
	look("Warm up", "warm-up")
	p.tap("warm-start")
	look("Warm-up", "warming")
	p.tap("warm-end")
}

func (p *phone) screensOfABlock(look func(heading, where string)) {
	p.t.Helper()
	look("Put on Fennock", "first-change")
	p.tap("start")
	look("Fennock", "running")
	p.tap("lap")
	p.until(`document.querySelector(".of").textContent.startsWith("over")`)
	look("Fennock", "over")
	p.tap("end")
	look("You tapped End", "late")
	p.tap("signal")
	look("How hard", "exertion")
	p.tap("exertion-10")
	look("How comfortable", "comfort")
	p.tap("comfort")
	look("How comfortable", "comfort-touched")
	p.tap("keep")
	look("Anything to note", "note")
	p.tap("pass")
	look("Put on Quenby", "change")
}

func (p *phone) screensOfTrouble(look func(heading, where string)) {
	p.t.Helper()
	p.tap("more")
	look("Something else", "more")
	p.tap("skip")
	look("Skip block 2. Why?", "skip")
	p.tap("back")
	p.tap("more")
	p.tap("again")
	look("Run block 1 again. Why?", "again")
	p.tap("back")
	p.tap("more")
	p.tap("swap")
	look("Which shoe", "swap")
	p.tap("shoe-fennock")
	look("Another shoe. Why?", "swap-why")
	p.tap("reason-0")
	p.heading("Keep Fennock on")
	p.tap("start")
	p.heading("Fennock")
	p.tap("end")
	look("Block 2 ended", "early")
	p.fill("reason", "a dog")
	p.tap("own")
	p.heading("How hard")
	value[any](p.tab, `setTheClock(3600)`)
	p.until(`/put forward by (1:0|5\d:\d\d\.)/.test(document.body.textContent)`) // give or take what a tap takes
	look("How hard", "clock-jump")
	for _, heading := range []string{"How hard", "How comfortable", "Anything to note"} {
		p.heading(heading)
		p.tap("pass")
	}
	for range 6 {
		p.tap("more")
		p.tap("skip")
		p.tap("reason-0")
	}
	look("All blocks are run", "closing")
	p.tap("stop")
	look("Stopped. Why?", "stopped")
	p.tap("reason-0")
	look("The log is complete", "done")
	p.tap("text")
	look("fieldlog.yaml", "text")
	p.tap("back")
	p.tap("delete")
	look("Delete this log?", "delete")
	p.tap("back")
	p.tap("leave")
	look("At the track", "home-after")
}

// tab moves the focus on until it is on an element, by the keyboard.
func (p *phone) tabTo(id string) {
	p.t.Helper()
	p.until(`document.getElementById("` + id + `")`)
	for range 20 {
		if value[string](p.tab, `document.activeElement.id`) == id {
			return
		}
		p.do(chromedp.KeyEvent(kb.Tab))
	}
	p.t.Fatalf("twenty tabs do not lead to %q but to %q", id, value[string](p.tab, `document.activeElement.id`))
}

// A block by keyboard alone; at every new screen its heading has the focus, which a
// screen reader then reads.
func TestTrackByKeyboard(t *testing.T) {
	p := atTrack(t, serve(t, publishPlanned(t)), 360, 640)
	p.do(chromedp.Navigate(p.root + "track/"))
	press := func(heading, id string) {
		p.heading(heading)
		p.until(`document.activeElement.id === "now"`)
		time.Sleep(30 * time.Millisecond) // more than the page takes for a trembling finger
		p.tabTo(id)
		p.do(chromedp.KeyEvent(kb.Enter))
	}
	for _, step := range [][2]string{{"At the track", "plan-" + plannedSession}, {"Weigh", "pass"},
		{"How is the weather", "pass"},
		{"Where is the foot sensor", "pass"}, {"Warm up", "pass"}, {"Put on Fennock", "start"}, {"Fennock", "end"},
		{"Block 1 ended", "reason-1"}, {"How hard", "exertion-3"}} {
		press(step[0], step[1])
	}
	p.heading("How comfortable")
	p.tabTo("comfort")
	for range 3 {
		p.do(chromedp.KeyEvent(kb.ArrowRight))
	}
	p.tabTo("keep")
	p.do(chromedp.KeyEvent(kb.Enter))
	press("Anything to note", "pass")
	p.heading("Put on Quenby")
	p.tap("stop")
	p.tap("reason-0")
	p.heading("The log is complete")
	if log := p.log(); len(log.Blocks) != 1 || log.Blocks[0].RPE != 3 || log.Blocks[0].ComfortMm != 2 {
		t.Errorf("the log holds %+v", log.Blocks)
	}
	p.unfaulted()
}

// Over plain http in a local network the page works while it is open, and says what is
// missing.
func TestTrackOverPlainHTTP(t *testing.T) {
	p := atTrack(t, serve(t, publishPlanned(t)), 360, 640)
	p.root = strings.Replace(p.root, "127.0.0.1", plainHost, 1)
	p.do(chromedp.Navigate(p.root + "track/"))
	p.heading("At the track")
	if text := p.text("#track-app"); !strings.Contains(text, "Opened over plain http: it works while it is open") {
		t.Errorf("the first screen says %q", text)
	}
	p.looked(axe(t), "plain-http")
	p.tap("plan-" + plannedSession)
	p.heading("Weigh")
	p.do(chromedp.Reload())
	p.heading("Weigh")
	p.unfaulted("http://" + plainHost)
}

// Where the browser keeps nothing, the page says so and works until it is closed.
func TestTrackWithoutStorage(t *testing.T) {
	p := atTrack(t, serve(t, publishPlanned(t)), 360, 640)
	p.lacks("indexedDB")
	p.do(chromedp.Navigate(p.root + "track/"))
	p.heading("At the track")
	if text := p.text("#track-app"); !strings.Contains(text, "This browser keeps nothing for this page") {
		t.Errorf("the first screen says %q", text)
	}
	p.looked(axe(t), "nothing-kept")
	p.tap("plan-" + plannedSession)
	p.heading("Weigh")
	p.tap("stop")
	p.tap("reason-0")
	p.heading("The log is complete")
	if log := p.log(); len(log.Deviations) != 1 {
		t.Errorf("the log holds %+v", log.Deviations)
	}
	p.unfaulted()
}

// A phone that stands still between the readings of its two clocks has not had its clock set.
func TestTrackReadsItsClocksTogether(t *testing.T) {
	p := atTrack(t, serve(t, publishPlanned(t)), 360, 640)
	p.do(chromedp.Navigate(p.root + "track/"))
	p.heading("At the track")
	p.tap("plan-" + plannedSession)
	p.heading("Weigh")
	value[bool](p.tab, `(() => {
		const wall = Date.now.bind(Date), mono = performance.now.bind(performance);
		Date.now = () => {
			const from = mono(), at = wall();
			if (!window.stood) while (mono() - from < 5000);
			return window.stood = true, at;
		};
		return true; })()`)
	p.until(`window.stood`)
	p.tap("stop")
	p.tap("reason-0")
	p.heading("The log is complete")
	if log := p.log(); len(log.Clock) != 0 {
		t.Errorf("the clocks are said to part: %+v", log.Clock)
	}
	p.unfaulted()
}

// A log that goes on in another window is shown as it is there; no tap replaces
// another. The second session of the day has a name of its own.
func TestTrackInTwoWindows(t *testing.T) {
	p := atTrack(t, serve(t, publishPlanned(t)), 360, 640)
	p.do(chromedp.Navigate(p.root + "track/"))
	p.heading("At the track")
	p.tap("plan-" + plannedSession)
	p.heading("Weigh")
	value[bool](p.tab, `new Promise((done, fail) => {
		const open = indexedDB.open("soletrial track " + new URL("./", location.href).href);
		open.onerror = () => fail(open.error);
		open.onsuccess = () => {
			const write = open.result.transaction("own", "readwrite");
			const line = 'pass 0 ' + Math.round(performance.now()) + ' ' + Date.now() + ' 0 0';
			write.objectStore("own").add(new TextEncoder().encode(line), "`+plannedSession+` 00000002");
			write.oncomplete = () => { open.result.close(); done(true); };
		};
	})`)
	p.tap("keep")
	p.heading("How is the weather")
	p.until(`document.querySelector(".notice[role=alert]")?.textContent.includes("continued in another window")`)
	p.looked(axe(t), "another-window")
	p.tap("stop")
	p.tap("reason-0")
	p.heading("The log is complete")
	p.tap("leave")
	p.heading("At the track")
	p.tap("plan-" + plannedSession)
	p.heading("Weigh")
	p.until(`location.hash === "#` + plannedSession + `-2"`)
	p.unfaulted()
}
