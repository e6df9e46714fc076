//go:build js && wasm

package dom

import "syscall/js"

// Chosen is a file that a reader chose.
type Chosen struct {
	Name    string
	Content []byte
}

// OnFiles calls work with the files that a reader chooses together in a file input or
// drops together anywhere on the page, also the same ones again. The browser hands the program
// their bytes; they go nowhere else.
func OnFiles(work func(files []Chosen)) {
	listen := func(event string, files func(js.Value) js.Value) {
		js.Global().Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
			if list := files(args[0]); list.Truthy() && list.Length() > 0 {
				read(js.Global().Get("Array").Call("from", list), nil, work)
			}
			return nil
		}))
	}
	listen("change", func(event js.Value) js.Value { return event.Get("target").Get("files") })
	listen("click", func(event js.Value) js.Value { // what it holds already would be no change
		if target := event.Get("target"); target.Get("type").Equal(js.ValueOf("file")) {
			target.Set("value", "")
		}
		return js.Null()
	})
	listen("dragover", func(event js.Value) js.Value { event.Call("preventDefault"); return js.Null() })
	listen("drop", func(event js.Value) js.Value {
		event.Call("preventDefault")
		return event.Get("dataTransfer").Get("files")
	})
}

// read reads the files of a list behind those that are read already, one after the other.
func read(list js.Value, files []Chosen, work func(files []Chosen)) {
	if len(files) == list.Length() {
		work(files)
		return
	}
	file := list.Index(len(files))
	var got js.Func
	got = js.FuncOf(func(_ js.Value, args []js.Value) any {
		array := js.Global().Get("Uint8Array").New(args[0])
		content := make([]byte, array.Get("byteLength").Int())
		js.CopyBytesToGo(content, array)
		got.Release()
		read(list, append(files, Chosen{file.Get("name").String(), content}), work)
		return nil
	})
	file.Call("arrayBuffer").Call("then", got)
}
