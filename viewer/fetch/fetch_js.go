//go:build js && wasm

package fetch

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"syscall/js"
	"time"
)

// Site fetches files below an address. It implements load.Source.
type Site struct {
	Base string // address of the folder, ending in a slash; may be relative to the page
}

// patience is how long nothing may come of a file before it is asked for again, and then given
// up. A slow connection may take longer, as long as something comes.
const patience = 10 * time.Second

// Fetch returns the body of the file at path below the site's address. Fresh
// makes the browser ask the server, whatever it has cached. An answer other
// than a success is an error. A site that does not answer in time is asked once more.
func (s Site) Fetch(ctx context.Context, path string, fresh bool) ([]byte, error) {
	for try := 0; ; try++ {
		timed, cancel := context.WithCancel(ctx)
		timer := time.AfterFunc(patience, cancel)
		body, err := s.fetch(timed, path, fresh, func() { timer.Reset(patience) })
		late := timed.Err() != nil && ctx.Err() == nil
		timer.Stop()
		cancel()
		if !late || err == nil {
			return body, err
		}
		if try > 0 {
			return nil, fmt.Errorf("the site did not answer within %d s, twice", int(patience.Seconds()))
		}
	}
}

// fetch asks once. Came is called whenever something comes.
func (s Site) fetch(ctx context.Context, path string, fresh bool, came func()) (body []byte, err error) {
	cache := "default"
	if fresh {
		cache = "no-cache"
	}
	controller := js.Global().Get("AbortController").New()
	defer context.AfterFunc(ctx, func() { controller.Call("abort") })()
	options := map[string]any{"cache": cache, "credentials": "same-origin", "signal": controller.Get("signal")}
	response, err := await(js.Global().Call("fetch", s.Base+escape(path), options))
	if err != nil {
		return nil, failed(ctx, err)
	}
	if !response.Get("ok").Bool() {
		return nil, fmt.Errorf("the site answers %d", response.Get("status").Int())
	}
	if !response.Get("body").Truthy() {
		return nil, nil // nothing in it
	}
	for reader := response.Get("body").Call("getReader"); ; {
		piece, err := await(reader.Call("read"))
		if err != nil {
			return nil, failed(ctx, err)
		}
		if piece.Get("done").Bool() {
			return body, nil
		}
		came()
		at, array := len(body), piece.Get("value")
		body = append(body, make([]byte, array.Get("byteLength").Int())...)
		js.CopyBytesToGo(body[at:], array)
	}
}

// failed puts the browser's terse reasons in words.
func failed(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return fmt.Errorf("the site cannot be reached (%w)", err)
}

func escape(path string) string {
	parts := strings.Split(path, "/")
	for i, part := range parts {
		parts[i] = js.Global().Call("encodeURIComponent", part).String()
	}
	return strings.Join(parts, "/")
}

// await waits for a promise. It must not be called on the event loop's own
// goroutine, inside a js.Func.
func await(promise js.Value) (js.Value, error) {
	type settled struct {
		value js.Value
		err   error
	}
	done := make(chan settled, 1)
	resolve := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- settled{value: args[0]}
		return nil
	})
	defer resolve.Release()
	reject := js.FuncOf(func(_ js.Value, args []js.Value) any {
		done <- settled{err: errors.New(js.Global().Get("String").Invoke(args[0]).String())}
		return nil
	})
	defer reject.Release()
	promise.Call("then", resolve, reject)
	end := <-done
	return end.value, end.err
}
