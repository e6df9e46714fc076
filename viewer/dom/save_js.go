//go:build js && wasm

package dom

import "syscall/js"

// dots is how many dots a saved picture has for each unit of its figure.
const dots = 2

// Save hands a file to the reader as a download; as a picture it is SVG that is
// first drawn in dots, as PNG.
func Save(name, kind string, content []byte, picture bool) {
	window := js.Global()
	array := window.Get("Uint8Array").New(len(content))
	js.CopyBytesToJS(array, content)
	blob := window.Get("Blob").New([]any{array}, map[string]any{"type": kind})
	if !picture {
		download(name, blob)
		return
	}
	address := window.Get("URL").Call("createObjectURL", blob)
	image := window.Get("Image").New()
	once(image, "load", func() {
		canvas := window.Get("document").Call("createElement", "canvas")
		width, height := image.Get("naturalWidth").Int()*dots, image.Get("naturalHeight").Int()*dots
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

// once does work when an event first comes.
func once(target js.Value, event string, work func()) {
	var listener js.Func
	listener = js.FuncOf(func(js.Value, []js.Value) any {
		work()
		listener.Release()
		return nil
	})
	target.Call("addEventListener", event, listener, map[string]any{"once": true})
}

// download asks the browser to keep a blob under a name.
func download(name string, blob js.Value) {
	address := js.Global().Get("URL").Call("createObjectURL", blob)
	link := js.Global().Get("document").Call("createElement", "a")
	link.Set("href", address)
	link.Set("download", name)
	link.Call("click")
	js.Global().Get("URL").Call("revokeObjectURL", address)
}
