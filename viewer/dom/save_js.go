//go:build js && wasm

package dom

import "syscall/js"

// pixelsPerUnit is how many pixels a saved picture has for each unit of its figure.
const pixelsPerUnit = 2

// Save offers a file as a download. A picture is SVG that is converted to PNG first.
func Save(name, kind string, content []byte, picture bool) {
	window := js.Global()
	array := window.Get("Uint8Array").New(len(content))
	js.CopyBytesToJS(array, content)
	blob := window.Get("Blob").New([]any{array}, map[string]any{"type": kind})
	if !picture {
		download(name, blob)
		return
	}

	// Draw the SVG on a canvas, and save that as PNG.
	address := window.Get("URL").Call("createObjectURL", blob)
	image := window.Get("Image").New()
	once(image, "load", func() {
		canvas := window.Get("document").Call("createElement", "canvas")
		width, height := image.Get("naturalWidth").Int()*pixelsPerUnit, image.Get("naturalHeight").Int()*pixelsPerUnit
		canvas.Set("width", width)
		canvas.Set("height", height)
		canvas.Call("getContext", "2d").Call("drawImage", image, 0, 0, width, height)
		window.Get("URL").Call("revokeObjectURL", address)
		var got js.Func
		got = js.FuncOf(func(_ js.Value, args []js.Value) any {
			download(name, args[0])
			got.Release()
			return nil
		})
		canvas.Call("toBlob", got, "image/png")
	})
	image.Set("src", address)
}

// once calls work at the first event of a kind.
func once(target js.Value, event string, work func()) {
	var listener js.Func
	listener = js.FuncOf(func(js.Value, []js.Value) any {
		work()
		listener.Release()
		return nil
	})
	target.Call("addEventListener", event, listener, map[string]any{"once": true})
}

// download asks the browser to save a blob under a name.
func download(name string, blob js.Value) {
	address := js.Global().Get("URL").Call("createObjectURL", blob)
	link := js.Global().Get("document").Call("createElement", "a")
	link.Set("href", address)
	link.Set("download", name)
	link.Call("click")
	js.Global().Get("URL").Call("revokeObjectURL", address)
}
