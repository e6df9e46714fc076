// Package summary writes the answer as one text to put under a video, into a post or on the
// site: the answer, a table, how it was tested, doubts, disclosure, cautions, where all of
// it stands and how to cite it.
//
// [New] collects what is said; [Summary.Text], [Summary.Markdown] and [Summary.HTML] write
// it, the same words in each. [Summary.Short] is the same summary with the least important
// left out until its text has at most [ShortLength] characters.
//
// The sentences are those of package answer; this package makes no claim of its own.
package summary
