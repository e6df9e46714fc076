//go:build js && wasm

package dom

import (
	"strings"
	"syscall/js"

	"soletrial/pipeline/figure"
)

// NotANumber is the value of a number field that holds something else: the
// browser gives no text then.
const NotANumber = "?"

// listen passes an event to act when it reaches an element with an action for it.
func (r *Root) listen(event string, act func(action, value string)) {
	attribute := "data-" + event
	r.host.Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
		target := args[0].Get("target").Call("closest", "["+attribute+"]")
		if target.Truthy() {
			act(target.Call("getAttribute", attribute).String(), valueOf(target))
		}
		return nil
	}))
}

// valueOf returns a control's value: "true" or "false" for a checkbox, "" for a
// control that has none.
func valueOf(target js.Value) string {
	if target.Get("type").Equal(js.ValueOf("checkbox")) {
		if target.Get("checked").Bool() {
			return "true"
		}
		return "false"
	}
	if validity := target.Get("validity"); validity.Truthy() && validity.Get("badInput").Truthy() {
		return NotANumber
	}
	if value := target.Get("value"); value.Type() == js.TypeString {
		return value.String()
	}
	return ""
}

// OnUndoKeys calls work for Ctrl-Z, and with again for Ctrl-Shift-Z and Ctrl-Y, also with the
// command key; not in a field of text, which has an undo of its own.
func OnUndoKeys(work func(again bool)) {
	js.Global().Get("document").Call("addEventListener", "keydown", js.FuncOf(func(_ js.Value, args []js.Value) any {
		e := args[0]
		key := strings.ToLower(e.Get("key").String())
		held := e.Get("ctrlKey").Bool() || e.Get("metaKey").Bool()
		if !held || e.Get("altKey").Bool() || key != "z" && key != "y" {
			return nil
		}
		if kind := e.Get("target").Get("type"); kind.Type() == js.TypeString && (kind.String() == "text" ||
			kind.String() == "number") {
			return nil
		}
		e.Call("preventDefault")
		work(key == "y" || e.Get("shiftKey").Bool())
		return nil
	}))
}

// SetText puts a text in the element with the given id, when it differs: a status
// line that is set again is read out again.
func SetText(id, text string) {
	text = figure.Visible(text)
	live := js.Global().Get("document").Call("getElementById", id)
	if live.Truthy() && live.Get("textContent").String() != text {
		live.Set("textContent", text)
	}
}

// OncePerFrame returns a function that requests work, which is then done once before
// the next frame, however often it is requested until then.
func OncePerFrame(work func()) (request func()) {
	waiting := false
	frame := js.FuncOf(func(js.Value, []js.Value) any {
		waiting = false
		work()
		return nil
	})
	return func() {
		if !waiting {
			waiting = true
			js.Global().Call("requestAnimationFrame", frame)
		}
	}
}

// Debounced returns a function that requests work, which is done once no request has
// come for the given time.
func Debounced(milliseconds int, work func()) (request func()) {
	timer := js.Undefined()
	expired := js.FuncOf(func(js.Value, []js.Value) any {
		timer = js.Undefined()
		work()
		return nil
	})
	return func() {
		if !timer.IsUndefined() {
			js.Global().Call("clearTimeout", timer)
		}
		timer = js.Global().Call("setTimeout", expired, milliseconds)
	}
}
