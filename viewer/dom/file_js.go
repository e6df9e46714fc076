//go:build js && wasm

package dom

import "syscall/js"

// OnFile calls work with every file that a reader chooses in a file input or drops
// anywhere on the page, the first of several. The browser hands the program its
// bytes; they go nowhere else.
func OnFile(work func(name string, content []byte)) {
	listen := func(event string, files func(js.Value) js.Value) {
		js.Global().Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
			if list := files(args[0]); list.Truthy() && list.Length() > 0 {
				read(list.Index(0), work)
			}
			return nil
		}))
	}
	listen("change", func(event js.Value) js.Value { return event.Get("target").Get("files") })
	listen("dragover", func(event js.Value) js.Value { event.Call("preventDefault"); return js.Null() })
	listen("drop", func(event js.Value) js.Value {
		event.Call("preventDefault")
		return event.Get("dataTransfer").Get("files")
	})
}

func read(file js.Value, work func(name string, content []byte)) {
	name := file.Get("name").String()
	var got js.Func
	got = js.FuncOf(func(_ js.Value, args []js.Value) any {
		array := js.Global().Get("Uint8Array").New(args[0])
		content := make([]byte, array.Get("byteLength").Int())
		js.CopyBytesToGo(content, array)
		got.Release()
		work(name, content)
		return nil
	})
	file.Call("arrayBuffer").Call("then", got)
}
