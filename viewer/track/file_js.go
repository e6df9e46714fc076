//go:build js && wasm

package main

import (
	"context"
	"syscall/js"

	"soletrial/pipeline/plaintext"
	"soletrial/viewer/fetch"
	"soletrial/viewer/load"
	"soletrial/viewer/track/screen"
	"soletrial/viewer/track/session"
)

// offers finds out what the browser offers to the page.
func offers(keeps bool) screen.Offers {
	navigator := js.Global().Get("navigator")
	return screen.Offers{
		Keeps: keeps, Secure: js.Global().Get("isSecureContext").Bool(),
		Offline: navigator.Get("serviceWorker").Truthy(), Wake: navigator.Get("wakeLock").Truthy(),
		Sounds: js.Global().Get("AudioContext").Truthy(), Vibrates: navigator.Get("vibrate").Truthy(),
		Share: navigator.Get("canShare").Truthy() && navigator.Call("canShare", map[string]any{
			"files": []any{textFile("fieldlog.txt", nil)}}).Bool(),
	}
}

func textFile(name string, text []byte) js.Value {
	return js.Global().Get("File").New([]any{string(text)}, name, map[string]any{"type": "text/plain"})
}

// share hands the file to the share sheet of the phone. The sheets take plain text,
// so the file is named as such.
func share(name string, text []byte, fail func(problem string)) {
	promise := js.Global().Get("navigator").Call("share", map[string]any{"files": []any{textFile(name, text)}})
	then(promise, func(js.Value) {}, func(problem string) {
		if problem != "AbortError" { // the person closed the sheet
			fail(problem)
		}
	})
}

// copyText puts the text on the clipboard.
func copyText(text []byte, say func(notice string)) {
	clipboard := js.Global().Get("navigator").Get("clipboard")
	byHand := "This browser does not let the page copy. Select the text and copy it."
	if !clipboard.Truthy() {
		say(byHand)
		return
	}
	then(clipboard.Call("writeText", string(text)), func(js.Value) { say("Copied.") }, func(string) { say(byHand) })
}

// askToKeep asks the browser not to clear what this page keeps when room is short.
func askToKeep() {
	if storage := js.Global().Get("navigator").Get("storage"); storage.Truthy() && storage.Get("persist").Truthy() {
		then(storage.Call("persist"), func(js.Value) {}, func(string) {})
	}
}

// plansName is the file beside the page that holds the plans of the dataset.
const plansName = "plans.json"

// published fetches the plans that are still to be run. Without them the page works
// all the same.
func published(ctx context.Context) (plans []session.Plan, shoes []session.Shoe, version string) {
	text, err := fetch.Site{}.Fetch(ctx, plansName, false)
	if err != nil {
		return nil, nil, ""
	}
	root, problems := plaintext.ReadJSON(load.Folder{plansName: text}, "plans.yaml")
	if len(problems) > 0 {
		return nil, nil, ""
	}
	return session.Published(root)
}
