//go:build js && wasm

// Command worker converts one recording in a worker beside the explorer's page:
// its name and bytes stand ready in the worker's scope, the answer goes there too.
// convert.js does the rest.
package main

import (
	"syscall/js"

	"soletrial/viewer/convert"
)

func main() {
	asked := js.Global().Get("asked")
	content := make([]byte, asked.Get("content").Get("byteLength").Int())
	js.CopyBytesToGo(content, asked.Get("content"))
	answer := convert.File(asked.Get("name").String(), content)
	csv := js.Global().Get("Uint8Array").New(len(answer.CSV))
	js.CopyBytesToJS(csv, answer.CSV)
	js.Global().Set("answer", map[string]any{"csv": csv, "blocks": answer.Blocks, "notes": answer.Notes,
		"problem": answer.Problem})
}
