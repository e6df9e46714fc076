//go:build js && wasm

package dom

import "syscall/js"

// Converted is what a worker made of files: this project's CSV, which may be a table of laps,
// proposed blocks, the effort that was probably held, the target of every effort, the day, and
// notes, or why there are none, which may be a doubt alone. Headings and Chosen are the columns
// of a CSV and what each of them holds.
type Converted struct {
	CSV, Packed         []byte
	Laps, Doubt         bool
	Blocks, Effort, Day string
	Targets             string
	Notes, Problem      string
	Headings            []string
	Chosen              map[string]string
	Unreachable         string // why the converter could not be fetched; "" when it was
}

// Convert has a web worker read files in another form as one recording, by the columns given,
// if any, and anyway where they are doubtful. Reading is called when the worker has its program,
// done once at the end. The files go to the worker and nowhere else. The function returned
// stops the work.
func Convert(files []Chosen, columns map[string]string, anyway bool, reading func(),
	done func(Converted)) (stop func()) {
	order := map[string]any{"anyway": anyway}
	if columns != nil {
		chosen := map[string]any{}
		for key, heading := range columns {
			chosen[key] = heading
		}
		order["columns"] = chosen
	}
	return work(order, files, reading, done)
}

// Pack has a web worker pack files into one ZIP file, see [Convert].
func Pack(files []Chosen, done func(Converted)) (stop func()) {
	return work(map[string]any{"pack": true}, files, func() {}, done)
}

// work hands an order and files to a new worker.
func work(order map[string]any, files []Chosen, reading func(), done func(Converted)) (stop func()) {
	worker := js.Global().Get("Worker").New("convert.js")
	var handed, moved []any
	for _, f := range files {
		array := js.Global().Get("Uint8Array").New(len(f.Content))
		js.CopyBytesToJS(array, f.Content)
		handed = append(handed, map[string]any{"name": f.Name, "content": array})
		moved = append(moved, array.Get("buffer"))
	}
	order["files"] = handed
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
		c := converted(data)
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
	worker.Call("postMessage", order, moved)
	return stop
}

// converted reads a worker's message.
func converted(data js.Value) Converted {
	c := Converted{Laps: data.Get("laps").Truthy(), Doubt: data.Get("doubt").Truthy(),
		Blocks: textField(data, "blocks"), Effort: textField(data, "effort"), Day: textField(data, "day"),
		Targets: textField(data, "targets"),
		Notes:   textField(data, "notes"), Problem: textField(data, "problem"),
		Unreachable: textField(data, "unreachable"), CSV: bytesField(data, "csv"), Packed: bytesField(data, "packed")}
	if headings := data.Get("headings"); headings.Truthy() {
		c.Chosen = map[string]string{}
		for i := range headings.Length() {
			c.Headings = append(c.Headings, headings.Index(i).String())
		}
		keys := js.Global().Get("Object").Call("keys", data.Get("chosen"))
		for i := range keys.Length() {
			key := keys.Index(i).String()
			c.Chosen[key] = textField(data.Get("chosen"), key)
		}
	}
	return c
}

// bytesField returns the bytes that a message holds, nil where it has none.
func bytesField(data js.Value, key string) []byte {
	value := data.Get(key)
	if !value.Truthy() {
		return nil
	}
	content := make([]byte, value.Get("byteLength").Int())
	js.CopyBytesToGo(content, value)
	return content
}

// textField returns a text that a message holds, "" where it has none.
func textField(data js.Value, key string) string {
	if value := data.Get(key); value.Type() == js.TypeString {
		return value.String()
	}
	return ""
}
