//go:build js && wasm

package dom

import (
	"math"
	"strconv"
	"syscall/js"
)

// drag is what the pointers on the page are doing: one drags an element or moves
// what is in view, two of them pinch.
type drag struct {
	lens     js.Value
	action   string          // of the element dragged; "" for moving the view
	at       map[int]float64 // time under each pointer when it came down, by pointer
	from, to float64         // what was in view then
	x        map[int]float64 // where each pointer is, CSS pixels
}

// listenToPointers serves every lens and everything that can be dragged in one. A
// pointer that has come down is followed wherever it goes.
func (r *Root) listenToPointers() {
	for event, handle := range map[string]func(js.Value){
		"pointerdown": r.pointerDown, "pointermove": r.pointerMove, "pointerup": r.pointerUp,
		"pointercancel": r.pointerUp,
		"keydown":       r.key, "wheel": r.wheel,
	} {
		options := map[string]any{"passive": false}
		js.Global().Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
			handle(args[0])
			return nil
		}), options)
	}
}

// around returns the nearest element about an event that matches; null or
// undefined where there is none.
func around(event js.Value, selector string) js.Value {
	target := event.Get("target")
	if !target.InstanceOf(js.Global().Get("Element")) {
		return js.Null()
	}
	return target.Call("closest", selector)
}

func lensOf(event js.Value) js.Value { return around(event, "[data-hover]") }

func number(element js.Value, attribute string) float64 {
	return js.Global().Call("Number", element.Call("getAttribute", attribute)).Float()
}

// share returns where in a lens a place on the screen is, 0 at its left edge.
func share(lens js.Value, x float64) float64 {
	box := lens.Call("getBoundingClientRect")
	return (x - box.Get("left").Float()) / box.Get("width").Float()
}

// timeAt returns the time that a place on the screen stands for.
func timeAt(lens js.Value, x float64) float64 {
	from, to := number(lens, "data-from"), number(lens, "data-to")
	return from + share(lens, x)*(to-from)
}

func text(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

func (r *Root) pointerDown(event js.Value) {
	lens := lensOf(event)
	if !lens.Truthy() || event.Get("button").Int() != 0 {
		return
	}
	d, id, x := &r.drag, event.Get("pointerId").Int(), event.Get("clientX").Float()
	if d.at == nil || !d.lens.Equal(lens) {
		*d = drag{lens: lens, at: map[int]float64{}, x: map[int]float64{}}
	}
	d.action = ""
	if handle := around(event, "[data-drag]"); handle.Truthy() {
		d.action = handle.Call("getAttribute", "data-drag").String()
	}
	d.from, d.to = number(lens, "data-from"), number(lens, "data-to")
	d.x[id] = x
	for pointer, x := range d.x { // a second one starts the pinch from where both are now
		d.at[pointer] = timeAt(lens, x)
	}
}

func (r *Root) pointerMove(event js.Value) {
	d, id, x := &r.drag, event.Get("pointerId").Int(), event.Get("clientX").Float()
	if _, down := d.at[id]; !down {
		if lens := lensOf(event); lens.Truthy() {
			r.act(lens.Call("getAttribute", "data-hover").String(), text(timeAt(lens, x)))
		}
		return
	}
	d.x[id] = x
	if d.action != "" {
		r.act(d.action, text(timeAt(d.lens, x)))
		return
	}
	from, to := d.view()
	r.see(d.lens, from, to)
}

// view returns the stretch under which every pointer stays at its time.
func (d *drag) view() (from, to float64) {
	var times, places []float64
	for pointer, time := range d.at {
		times, places = append(times, time), append(places, share(d.lens, d.x[pointer]))
	}
	width := d.to - d.from
	if len(times) > 1 && math.Abs(places[0]-places[1]) > 0.02 {
		width = (times[0] - times[1]) / (places[0] - places[1])
	}
	from = times[0] - places[0]*width
	return from, from + width
}

// see asks for a stretch; one that ends before it begins is none.
func (r *Root) see(lens js.Value, from, to float64) {
	if width := to - from; width > 0 {
		from = math.Max(from, 0)
		r.act(lens.Call("getAttribute", "data-view").String(), text(from)+","+text(from+width))
	}
}

func (r *Root) pointerUp(event js.Value) {
	id := event.Get("pointerId").Int()
	delete(r.drag.at, id)
	delete(r.drag.x, id)
	if len(r.drag.at) == 0 {
		r.drag = drag{}
	}
}

// wheel zooms about the pointer while Ctrl is held, which is what a pinch on a
// touchpad sends too, and moves along the axis when turned sideways; otherwise
// the page scrolls as everywhere.
func (r *Root) wheel(event js.Value) {
	lens := lensOf(event)
	if !lens.Truthy() {
		return
	}
	from, to := number(lens, "data-from"), number(lens, "data-to")
	across, down := event.Get("deltaX").Float(), event.Get("deltaY").Float()
	switch {
	case event.Get("ctrlKey").Bool():
		at, factor := timeAt(lens, event.Get("clientX").Float()), 1+math.Min(math.Max(down/300, -0.5), 1)
		from, to = at-(at-from)*factor, at+(to-at)*factor
	case math.Abs(across) > math.Abs(down):
		move := (to - from) * across / 600
		from, to = from+move, to+move
	default:
		return
	}
	event.Call("preventDefault")
	r.see(lens, from, to)
}

// steps is how far the keys move a slider, in its own unit; the rest go to an end.
var steps = map[string]float64{"ArrowLeft": -1, "ArrowDown": -1, "ArrowRight": 1, "ArrowUp": 1, "PageDown": -10,
	"PageUp": 10}

func (r *Root) key(event js.Value) {
	slider := around(event, "[data-drag][role=slider]")
	if !slider.Truthy() {
		return
	}
	key := event.Get("key").String()
	least, most := number(slider, "aria-valuemin"), number(slider, "aria-valuemax")
	value := number(slider, "aria-valuenow")
	step, known := steps[key]
	switch {
	case known:
		value += step
	case key == "Home":
		value = least
	case key == "End":
		value = most
	default:
		return
	}
	event.Call("preventDefault")
	at := text(math.Min(math.Max(value, least), most))
	slider.Call("setAttribute", "aria-valuenow", at) // the next key may come before the next picture
	r.act(slider.Call("getAttribute", "data-drag").String(), at)
}
