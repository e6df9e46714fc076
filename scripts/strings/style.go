package main

import (
	"fmt"
	"io"
	"regexp"
	"strings"
)

// longest is how many words a sentence may have before it is marked. The house aims at 20.
const longest = 25

// words that the house writes otherwise, and what it writes.
var instead = []struct {
	word *regexp.Regexp
	use  string
}{
	{whole(`verdicts?`), "answer"},
	{whole(`head(?:ing)? and tail|(?:at the|of) (?:head|tail)`), "trim start, trim end"},
	{whole(`(?:kept|put|keep|keeps|puts) out(?: of)?|(?:leaves?|left) out (?:of|by|for)`), "exclude"},
	{whole(`takes? part`), "included"},
	{whole(`departs?|departed|departures?|otherwise than planned`), "deviation"},
	{whole(`told apart|set apart|comes? out ahead|beaten`), "faster, no clear difference"},
	{whole(`settled in advance|settles? (?:it|them)|let pass|lets pass`), "overridden, decided"},
	{whole(`footpods?|pods?`), "foot sensor"},
	{whole(`parted|anew|thereof|whereby|whence|hereby|wherein|upon|hence|thus|yonder|nought|told from`), "plain words"},
	{whole(`(?:by|of) (?:its|their|the person's) own reckoning`), "as you expect"},
	{whole(`stood|stands?(?: (?:beside|already|in|for|by|at|over|there))?`), "is, is shown"},
	{whole(`is told|are told|tells? it|told`), "says, is shown"},
	{whole(`mends?|mended`), "repair, fix"},
	{whole(`worth its|worth of`), "plain words"},
	{whole(`by hand`), "typed in, edited"},
	{whole(`of old|from before|as ever|at hand|in sight|by itself`), "plain words"},
	{whole(`nothing to do`), "what to do"},
}

func whole(words string) *regexp.Regexp { return regexp.MustCompile(`(?i)\b(?:` + words + `)\b`) }

var (
	passive = regexp.MustCompile(`(?i)\b(?:is|are|was|were|be|been|being) (?:not |never |only |also )?(?:[a-z]+ed|` +
		`run|read|cut|put|set|given|taken|made|known|shown|written|drawn|kept|held|left|found|built|told|worn|seen|` +
		`sent|lost|meant|brought|chosen)\b`)
	sentenceEnd = regexp.MustCompile(`[.?!](?:["')]*)(?: |$)`)
)

// sentences splits a text; a text without a full stop is one sentence.
func sentences(words string) []string {
	var list []string
	for _, s := range sentenceEnd.Split(words, -1) {
		if strings.TrimSpace(s) != "" {
			list = append(list, s)
		}
	}
	return list
}

// marksOf says why a text should be read again.
func marksOf(words string) []string {
	var marks []string
	for _, s := range sentences(words) {
		if n := len(strings.Fields(s)); n > longest {
			marks = append(marks, fmt.Sprintf("%d words", n))
		}
	}
	for _, p := range passive.FindAllString(words, -1) {
		marks = append(marks, "passive: "+p)
	}
	for _, i := range instead {
		if w := i.word.FindString(words); w != "" {
			marks = append(marks, w+": "+i.use)
		}
	}
	return marks
}

// counts are what the list comes to.
type counts struct {
	texts, words, sentences, long, passive, otherwise int
}

func countsOf(texts []text) (c counts) {
	for _, t := range texts {
		c.texts++
		isLong := false
		for _, s := range sentences(t.words) {
			n := len(strings.Fields(s))
			c.sentences++
			c.words += n
			isLong = isLong || n > longest
		}
		if isLong {
			c.long++
		}
		c.passive += len(passive.FindAllString(t.words, -1))
		for _, i := range instead {
			c.otherwise += len(i.word.FindAllString(t.words, -1))
		}
	}
	return c
}

func (c counts) print(w io.Writer) {
	mean := float64(c.words) / float64(max(c.sentences, 1))
	fmt.Fprintf(w, "%d texts, %d words, %.1f words a sentence; %d texts with a sentence over %d words; "+
		"%d passives; %d words that the house writes otherwise\n",
		c.texts, c.words, mean, c.long, longest, c.passive, c.otherwise)
}
