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
	plot     js.Value
	action   string          // of the element dragged; "" for moving the view
	at       map[int]float64 // time under each pointer when it came down, by pointer
	from, to float64         // what was in view then
	x        map[int]float64 // where each pointer is, CSS pixels
}

// listenToPointers serves every plot and everything that can be dragged in one. A
// pointer that is down is followed wherever it goes.
func (r *Root) listenToPointers() {
	for event, handle := range map[string]func(js.Value){
		"pointerdown": r.pointerDown, "pointermove": r.pointerMove, "pointerup": r.pointerUp,
		"pointercancel": r.pointerUp, "keydown": r.key, "wheel": r.wheel,
	} {
		options := map[string]any{"passive": false}
		js.Global().Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
			handle(args[0])
			return nil
		}), options)
	}
}

// closest returns the nearest element around an event's target that matches; null or
// undefined where there is none.
func closest(event js.Value, selector string) js.Value {
	target := event.Get("target")
	if !target.InstanceOf(js.Global().Get("Element")) {
		return js.Null()
	}
	return target.Call("closest", selector)
}

func plotOf(event js.Value) js.Value { return closest(event, "[data-hover]") }

func number(element js.Value, attribute string) float64 {
	return js.Global().Call("Number", element.Call("getAttribute", attribute)).Float()
}

// fractionAt returns where a position on the screen is in a plot: 0 at its
// left edge, 1 at its right.
func fractionAt(plot js.Value, x float64) float64 {
	box := plot.Call("getBoundingClientRect")
	return (x - box.Get("left").Float()) / box.Get("width").Float()
}

// timeAt returns the time at a position on the screen.
func timeAt(plot js.Value, x float64) float64 {
	from, to := number(plot, "data-from"), number(plot, "data-to")
	return from + fractionAt(plot, x)*(to-from)
}

func text(x float64) string { return strconv.FormatFloat(x, 'f', 1, 64) }

func (r *Root) pointerDown(event js.Value) {
	plot := plotOf(event)
	if !plot.Truthy() || event.Get("button").Int() != 0 {
		return
	}
	d, id, x := &r.drag, event.Get("pointerId").Int(), event.Get("clientX").Float()
	if d.at == nil || !d.plot.Equal(plot) {
		*d = drag{plot: plot, at: map[int]float64{}, x: map[int]float64{}}
	}
	d.action = ""
	if handle := closest(event, "[data-drag]"); handle.Truthy() {
		d.action = handle.Call("getAttribute", "data-drag").String()
	}
	d.from, d.to = number(plot, "data-from"), number(plot, "data-to")
	d.x[id] = x
	for pointer, x := range d.x { // a second one starts the pinch from where both are now
		d.at[pointer] = timeAt(plot, x)
	}
}

func (r *Root) pointerMove(event js.Value) {
	d, id, x := &r.drag, event.Get("pointerId").Int(), event.Get("clientX").Float()
	if _, down := d.at[id]; !down {
		if plot := plotOf(event); plot.Truthy() {
			r.act(plot.Call("getAttribute", "data-hover").String(), text(timeAt(plot, x)))
		}
		return
	}
	d.x[id] = x
	if d.action != "" {
		r.act(d.action, text(timeAt(d.plot, x)))
		return
	}
	from, to := d.view()
	r.requestView(d.plot, from, to)
}

// view returns the stretch under which every pointer stays at its time.
func (d *drag) view() (from, to float64) {
	var times, fractions []float64
	for pointer, time := range d.at {
		times, fractions = append(times, time), append(fractions, fractionAt(d.plot, d.x[pointer]))
	}
	width := d.to - d.from
	if len(times) > 1 && math.Abs(fractions[0]-fractions[1]) > 0.02 {
		width = (times[0] - times[1]) / (fractions[0] - fractions[1])
	}
	from = times[0] - fractions[0]*width
	return from, from + width
}

// requestView asks for a stretch; one that ends before it begins is none.
func (r *Root) requestView(plot js.Value, from, to float64) {
	if width := to - from; width > 0 {
		from = math.Max(from, 0)
		r.act(plot.Call("getAttribute", "data-view").String(), text(from)+","+text(from+width))
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
	plot := plotOf(event)
	if !plot.Truthy() {
		return
	}
	from, to := number(plot, "data-from"), number(plot, "data-to")
	across, down := event.Get("deltaX").Float(), event.Get("deltaY").Float()
	switch {
	case event.Get("ctrlKey").Bool():
		at, factor := timeAt(plot, event.Get("clientX").Float()), 1+math.Min(math.Max(down/300, -0.5), 1)
		from, to = at-(at-from)*factor, at+(to-at)*factor
	case math.Abs(across) > math.Abs(down):
		move := (to - from) * across / 600
		from, to = from+move, to+move
	default:
		return
	}
	event.Call("preventDefault")
	r.requestView(plot, from, to)
}

// steps is how far the keys move a slider, in its own unit; the rest go to an end.
var steps = map[string]float64{
	"ArrowLeft": -1, "ArrowDown": -1, "ArrowRight": 1, "ArrowUp": 1, "PageDown": -10, "PageUp": 10,
}

func (r *Root) key(event js.Value) {
	slider := closest(event, "[data-drag][role=slider]")
	if !slider.Truthy() {
		return
	}
	key := event.Get("key").String()
	lowest, highest := number(slider, "aria-valuemin"), number(slider, "aria-valuemax")
	value := number(slider, "aria-valuenow")
	step, known := steps[key]
	switch {
	case known:
		value += step
	case key == "Home":
		value = lowest
	case key == "End":
		value = highest
	default:
		return
	}
	event.Call("preventDefault")
	at := text(math.Min(math.Max(value, lowest), highest))
	slider.Call("setAttribute", "aria-valuenow", at) // the next key may come before the next picture
	r.act(slider.Call("getAttribute", "data-drag").String(), at)
}
