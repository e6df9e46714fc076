// Package site writes the static pages of a published dataset.
//
// Its opinions: the answer comes first and in words, and a page is complete
// without JavaScript; every figure has its table, every number its unit and its
// uncertainty; a difference whose interval includes zero is never given a
// direction; nothing is loaded from another host, and no page holds an inline
// script or style. Links are relative, so a site works under any path. The same
// input gives the same bytes.
package site
