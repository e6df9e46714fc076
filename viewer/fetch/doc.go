// Package fetch gets files over HTTP with the browser's own fetch, which costs
// nothing in size. It holds code for js/wasm only.
package fetch
