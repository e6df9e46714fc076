//go:build js && wasm

// Command worker does in a web worker what the explorer itself has no code for: it reads a
// recording in another form, or packs files into one. What to do is in the worker's global
// input, the result goes into its global result. convert.js does the rest.
package main

import (
	"syscall/js"

	"soletrial/viewer/convert"
)

func main() {
	input := js.Global().Get("input")
	files := given(input.Get("files"))
	result := map[string]any{}
	if input.Get("pack").Truthy() {
		packed, err := convert.Pack(files)
		if result["packed"] = bytesOf(packed); err != nil {
			result["problem"] = err.Error()
		}
	} else {
		choice := convert.Choice{Columns: texts(input.Get("columns")), Anyway: input.Get("anyway").Truthy()}
		result = read(files, choice)
	}
	js.Global().Set("result", result)
}

// given are the files that the page handed over.
func given(list js.Value) (files []convert.Chosen) {
	for i := range list.Length() {
		file := list.Index(i)
		content := make([]byte, file.Get("content").Get("byteLength").Int())
		js.CopyBytesToGo(content, file.Get("content"))
		files = append(files, convert.Chosen{Name: file.Get("name").String(), Content: content})
	}
	return files
}

// read converts the files as the reader chose.
func read(files []convert.Chosen, choice convert.Choice) map[string]any {
	got := convert.Read(files, choice)
	result := map[string]any{"csv": bytesOf(got.CSV), "laps": got.Laps, "blocks": got.Blocks,
		"effort": string(got.Effort), "targets": got.Targets, "day": got.Day, "notes": got.Notes,
		"problem": got.Problem, "doubt": got.Doubt}
	if c := got.Columns; c != nil {
		headings, chosen := []any{}, map[string]any{}
		for _, heading := range c.Headings {
			headings = append(headings, heading)
		}
		for key, heading := range c.Chosen {
			chosen[key] = heading
		}
		result["headings"], result["chosen"] = headings, chosen
	}
	return result
}

// texts returns the texts of an object by key; nil where there is none.
func texts(object js.Value) map[string]string {
	if !object.Truthy() {
		return nil
	}
	found, keys := map[string]string{}, js.Global().Get("Object").Call("keys", object)
	for i := range keys.Length() {
		found[keys.Index(i).String()] = object.Get(keys.Index(i).String()).String()
	}
	return found
}

func bytesOf(content []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(content))
	js.CopyBytesToJS(array, content)
	return array
}
