package site

import (
	"soletrial/pipeline/derive"
	"soletrial/pipeline/sums"
)

// sums adds the 5-second sums, from which the explorer answers before it has the samples: one
// file for each year, sums/2026.csv, and sums/undated.csv for sessions without a date.
func (s *site) sums() []BundleEntry {
	entries := []BundleEntry{}
	blocks := derive.Sums(s.result, s.in.Recordings, s.in.Workers)
	for from := 0; from < len(blocks); {
		year, to := yearOf(blocks[from].Date), from
		for to < len(blocks) && yearOf(blocks[to].Date) == year {
			to++
		}
		entries = append(entries, s.entry(File{Path: "sums/" + year + ".csv", Text: sums.Write(blocks[from:to])}))
		from = to
	}
	return entries
}

// yearOf returns the year of a date as the files name it.
func yearOf(date string) string {
	if len(date) < len("2026") {
		return "undated"
	}
	return date[:len("2026")]
}
