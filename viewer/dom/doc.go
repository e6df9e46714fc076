// Package dom puts trees on the page and hands what the reader does to the
// program. It holds code for js/wasm only.
//
// Its opinions: the page is changed in place and only where two trees differ,
// so that focus, a slider being dragged and a text being typed survive; text is
// set as text, never as markup; one listener per kind of event serves all.
package dom
