//go:build js && wasm

package dom

import "syscall/js"

// Converted is what a worker made of a file: this project's CSV, proposed blocks
// and notes, or why there are none.
type Converted struct {
	CSV                    []byte
	Blocks, Notes, Problem string
	Unreachable            string // why the converter could not be fetched; "" when it was
}

// Convert has a web worker read files in another form as one recording. Reading is called
// when the worker has its program, done once at the end. The files go to the worker and
// nowhere else. The function returned stops the work.
func Convert(files []Chosen, reading func(), done func(Converted)) (stop func()) {
	worker := js.Global().Get("Worker").New("convert.js")
	var handed, moved []any
	for _, f := range files {
		array := js.Global().Get("Uint8Array").New(len(f.Content))
		js.CopyBytesToJS(array, f.Content)
		handed = append(handed, map[string]any{"name": f.Name, "content": array})
		moved = append(moved, array.Get("buffer"))
	}
	var message, failure js.Func
	stop = func() {
		worker.Set("onmessage", nil) // what it has sent already must not arrive
		worker.Set("onerror", nil)
		worker.Call("terminate")
		message.Release()
		failure.Release()
	}

	// The worker says that it is reading, and then what it read.
	message = js.FuncOf(func(_ js.Value, args []js.Value) any {
		data := args[0].Get("data")
		if data.Get("reading").Truthy() {
			reading()
			return nil
		}
		c := Converted{Blocks: textField(data, "blocks"), Notes: textField(data, "notes"),
			Problem:     textField(data, "problem"),
			Unreachable: textField(data, "unreachable")}
		if csv := data.Get("csv"); csv.Truthy() {
			c.CSV = make([]byte, csv.Get("byteLength").Int())
			js.CopyBytesToGo(c.CSV, csv)
		}
		stop()
		done(c)
		return nil
	})
	failure = js.FuncOf(func(_ js.Value, args []js.Value) any {
		stop()
		done(Converted{Unreachable: "the browser could not start it"})
		return nil
	})

	// Hand the files over; their bytes are moved, not copied.
	worker.Set("onmessage", message)
	worker.Set("onerror", failure)
	worker.Call("postMessage", map[string]any{"files": handed}, moved)
	return stop
}

// textField returns a text that a message holds, "" where it has none.
func textField(data js.Value, key string) string {
	if value := data.Get(key); value.Type() == js.TypeString {
		return value.String()
	}
	return ""
}
