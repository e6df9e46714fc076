//go:build js && wasm

package main

import (
	"strings"
	"syscall/js"
)

// clocks are the two clocks of a phone at one moment, and the offset of the second.
type clocks struct {
	mono, wall int64 // milliseconds: since the page was opened, since 1970
	zone       int   // minutes east of UTC
}

// The readings of the two clocks belong together when no more than this lies between them. A phone
// that is busy may stand still between the two, and the clock on the wall would seem to have been set.
const (
	togetherMs = 100
	readings   = 10
)

// now reads both clocks, again where the phone stood still meanwhile.
func now() clocks {
	performance, dates := js.Global().Get("performance"), js.Global().Get("Date")
	var before, wall float64
	for range readings {
		before = performance.Call("now").Float()
		wall = dates.Call("now").Float()
		if performance.Call("now").Float()-before <= togetherMs {
			break
		}
	}
	return clocks{mono: int64(before), wall: int64(wall), zone: -dates.New(wall).Call("getTimezoneOffset").Int()}
}

// today is the date on the wall, YYYY-MM-DD.
func today() string {
	c := now()
	shifted := js.Global().Get("Date").New(float64(c.wall + int64(c.zone)*60_000))
	date, _, _ := strings.Cut(shifted.Call("toISOString").String(), "T")
	return date
}

// every calls work again and again.
func every(ms int, work func()) {
	js.Global().Call("setInterval", js.FuncOf(func(js.Value, []js.Value) any {
		work()
		return nil
	}), ms)
}

// onVisible calls work when the page comes into sight or goes out of it.
func onVisible(work func(visible bool)) {
	document := js.Global().Get("document")
	document.Call("addEventListener", "visibilitychange", js.FuncOf(func(js.Value, []js.Value) any {
		work(document.Get("visibilityState").String() == "visible")
		return nil
	}))
}

// arrive takes the focus to the heading of what is new on the screen, which a screen
// reader then reads, and the screen to its top.
func arrive() {
	js.Global().Call("scrollTo", 0, 0)
	if heading := js.Global().Get("document").Call("getElementById", "now"); heading.Truthy() {
		heading.Call("focus", map[string]any{"preventScroll": true})
	}
}

// fragment is the session that the address names.
func fragment() string {
	text := js.Global().Get("location").Get("hash").String()
	return js.Global().Call("decodeURIComponent", safe(strings.TrimPrefix(text, "#"))).String()
}

// safe drops percent signs that are no part of an escape, which decoding refuses.
func safe(text string) string {
	if strings.Trim(text, "abcdefghijklmnopqrstuvwxyz0123456789._-") != "" {
		return ""
	}
	return text
}

var screenLock js.Value

// keepAwake asks for the screen to stay on, or no longer.
func keepAwake(on bool) {
	locks := js.Global().Get("navigator").Get("wakeLock")
	switch {
	case !locks.Truthy():
	case !on && screenLock.Truthy():
		screenLock.Call("release")
		screenLock = js.Undefined()
	case on && (!screenLock.Truthy() || screenLock.Get("released").Bool()):
		then(locks.Call("request", "screen"), func(lock js.Value) { screenLock = lock }, func(string) {})
	}
}

// then hands on what a promise gives, or the message of what it fails with.
func then(promise js.Value, good func(js.Value), bad func(string)) {
	var kept, failed js.Func
	release := func() {
		kept.Release()
		failed.Release()
	}
	kept = js.FuncOf(func(_ js.Value, args []js.Value) any {
		release()
		good(append(args, js.Undefined())[0])
		return nil
	})
	failed = js.FuncOf(func(_ js.Value, args []js.Value) any {
		release()
		bad(args[0].Get("name").String())
		return nil
	})
	promise.Call("then", kept, failed)
}

func vibrate(ms ...any) {
	navigator := js.Global().Get("navigator")
	active := navigator.Get("userActivation") // before a tap vibrating is not allowed
	if navigator.Get("vibrate").Truthy() && (!active.Truthy() || active.Get("hasBeenActive").Bool()) {
		navigator.Call("vibrate", ms)
	}
}

var audio js.Value

// unlockSound makes what sounds come from; browsers allow it only after a tap.
func unlockSound() {
	kind := js.Global().Get("AudioContext")
	if !audio.Truthy() && kind.Truthy() {
		audio = kind.New()
	}
	if audio.Truthy() && audio.Get("state").String() == "suspended" {
		audio.Call("resume")
	}
}

// sound gives some tones of a pitch in Hz, half a second apart.
func sound(pitch float64, tones int) {
	if !audio.Truthy() {
		return
	}
	start := audio.Get("currentTime").Float()
	for i := range tones {
		at := start + float64(i)*0.5
		tone, volume := audio.Call("createOscillator"), audio.Call("createGain")
		tone.Get("frequency").Set("value", pitch)
		volume.Get("gain").Call("setValueAtTime", 0.8, at)
		volume.Get("gain").Call("exponentialRampToValueAtTime", 0.001, at+0.4)
		tone.Call("connect", volume)
		volume.Call("connect", audio.Get("destination"))
		tone.Call("start", at)
		tone.Call("stop", at+0.4)
	}
}

// seed draws a whole number below 2^53 by the browser's source of chance.
func seed() uint64 {
	words := js.Global().Get("Uint32Array").New(2)
	js.Global().Get("crypto").Call("getRandomValues", words)
	return uint64(words.Index(0).Float())<<21 | uint64(words.Index(1).Float())>>11
}
