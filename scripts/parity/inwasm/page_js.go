package main

import (
	"os"
	"syscall/js"
)

// archive returns the dataset: the page's global of that name, or the file that
// the argument names.
func archive() ([]byte, error) {
	given := js.Global().Get("archive")
	if given.IsUndefined() {
		return os.ReadFile(os.Args[1])
	}
	text := make([]byte, given.Length())
	js.CopyBytesToGo(text, given)
	return text, nil
}

// deliver hands the tables to the page's function of that name, or writes them.
func deliver(text []byte) error {
	take := js.Global().Get("deliver")
	if take.IsUndefined() {
		_, err := os.Stdout.Write(text)
		return err
	}
	array := js.Global().Get("Uint8Array").New(len(text))
	js.CopyBytesToJS(array, text)
	take.Invoke(array)
	return nil
}
