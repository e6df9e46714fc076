//go:build js && wasm

// Command worker converts one recording in a web worker: the file's name and bytes
// are in the worker's global input, the result goes into its global result. convert.js
// does the rest.
package main

import (
	"syscall/js"

	"soletrial/viewer/convert"
)

func main() {
	input := js.Global().Get("input")
	content := make([]byte, input.Get("content").Get("byteLength").Int())
	js.CopyBytesToGo(content, input.Get("content"))
	result := convert.File(input.Get("name").String(), content)
	csv := js.Global().Get("Uint8Array").New(len(result.CSV))
	js.CopyBytesToJS(csv, result.CSV)
	js.Global().Set("result", map[string]any{
		"csv": csv, "blocks": result.Blocks, "notes": result.Notes, "problem": result.Problem,
	})
}
