//go:build js && wasm

package dom

import (
	"strings"
	"syscall/js"
)

// Data returns the data attribute of the element with the given id: name "bundle"
// for data-bundle.
func Data(id, name string) string {
	value := js.Global().Get("document").Call("getElementById", id).Get("dataset").Get(name)
	if value.Type() != js.TypeString {
		return ""
	}
	return value.String()
}

// Absolute returns an address relative to the page as a whole address.
func Absolute(address string) string {
	return js.Global().Get("URL").New(address, js.Global().Get("document").Get("baseURI")).Get("href").String()
}

// Fragment returns the page's address from after the #, as it stands there.
func Fragment() string {
	href := js.Global().Get("location").Get("href").String()
	_, fragment, _ := strings.Cut(href, "#")
	return fragment
}

// SetFragment changes the page's address without a new entry in its history.
// An empty fragment goes together with its #.
func SetFragment(fragment string) { changeFragment("replaceState", fragment) }

// PushFragment changes the page's address as [SetFragment] does, with a new entry in its
// history, so that Back leads to the one before.
func PushFragment(fragment string) { changeFragment("pushState", fragment) }

func changeFragment(how, fragment string) {
	if fragment == Fragment() {
		return
	}
	location := js.Global().Get("location")
	address := location.Get("pathname").String() + location.Get("search").String()
	if fragment != "" {
		address += "#" + fragment
	}
	js.Global().Get("history").Call(how, js.Null(), "", address)
}

// OnFragment calls work when somebody else changes the fragment: the reader, in
// the address line, by Back and Forward, or by following a link to another fragment.
func OnFragment(work func()) {
	js.Global().Call("addEventListener", "popstate", js.FuncOf(func(js.Value, []js.Value) any {
		work()
		return nil
	}))
}

// Started marks the status line for the page's own script and style sheet, which wait for it.
func Started(id, how string) {
	js.Global().Get("document").Call("getElementById", id).Get("dataset").Set("state", how)
}

// WhenIdle calls work once the page is shown and the browser has nothing else to do.
func WhenIdle(work func()) {
	call := js.FuncOf(func(js.Value, []js.Value) any {
		work()
		return nil
	})
	if idle := js.Global().Get("requestIdleCallback"); idle.Type() == js.TypeFunction {
		js.Global().Call("requestIdleCallback", call, map[string]any{"timeout": 2000})
		return
	}
	js.Global().Call("setTimeout", call, 500)
}

// SavesData reports whether the reader asked the browser to save data.
func SavesData() bool {
	connection := js.Global().Get("navigator").Get("connection")
	return connection.Truthy() && connection.Get("saveData").Truthy()
}

// OnResize calls work when the window changes its size.
func OnResize(work func()) {
	js.Global().Call("addEventListener", "resize", js.FuncOf(func(js.Value, []js.Value) any {
		work()
		return nil
	}))
}

// Width returns the width in CSS pixels of the element with the given id.
func Width(id string) int {
	return js.Global().Get("document").Call("getElementById", id).Get("clientWidth").Int()
}
