// Package dom shows trees on the page and passes what the reader does to the program.
// It holds code for js/wasm only.
//
// The page is changed in place and only where two trees differ, so that focus, a slider
// being dragged and a text being typed survive. Text is set as text, never as markup.
// One listener for each kind of event serves all elements.
package dom
