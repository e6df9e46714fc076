//go:build js && wasm

// Command worker converts one recording in a web worker: the names and bytes of its files
// are in the worker's global input, the result goes into its global result. convert.js
// does the rest.
package main

import (
	"syscall/js"

	"soletrial/viewer/convert"
)

func main() {
	input := js.Global().Get("input").Get("files")
	var files []convert.Chosen
	for i := range input.Length() {
		file := input.Index(i)
		content := make([]byte, file.Get("content").Get("byteLength").Int())
		js.CopyBytesToGo(content, file.Get("content"))
		files = append(files, convert.Chosen{Name: file.Get("name").String(), Content: content})
	}
	result := convert.Unpacked(files)
	csv := js.Global().Get("Uint8Array").New(len(result.CSV))
	js.CopyBytesToJS(csv, result.CSV)
	js.Global().Set("result", map[string]any{
		"csv": csv, "blocks": result.Blocks, "notes": result.Notes, "problem": result.Problem,
	})
}
