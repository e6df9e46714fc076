package plaintext

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"soletrial/pipeline/english"
	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// maxProblems is how many problems of one file are told one by one.
const maxProblems = 50

// report collects problems, at most [maxProblems] of them for each file.
type report struct {
	problems []trial.Problem
	counts   map[string]int
}

// add notes a problem.
func (r *report) add(p trial.Problem) {
	if r.counts == nil {
		r.counts = map[string]int{}
	}
	r.counts[p.At.File]++
	if r.counts[p.At.File] <= maxProblems {
		r.problems = append(r.problems, p)
	}
}

// at notes a problem at a place.
func (r *report) at(file string, line, column int, hint, format string, args ...any) {
	r.add(trial.Problem{At: trial.Position{File: file, Line: line, Column: column},
		Message: fmt.Sprintf(format, args...), Hint: hint})
}

// file notes a problem with a file as a whole.
func (r *report) file(file, hint, format string, args ...any) {
	r.at(file, 0, 0, hint, format, args...)
}

// notRegular notes that something is neither a file nor a folder in its own right.
func (r *report) notRegular(file string) {
	r.file(file, "put the file itself there, so that the dataset is complete", "is a link or a device, not a file")
}

// sorted returns the problems by file, line and column, each once, with a last
// line for each file that has more than are told.
func (r *report) sorted() []trial.Problem { return Sorted(r.raw()) }

// atEnd is the line of what comes last of a file.
const atEnd = 1 << 30

// raw returns the problems with a last one, at the line atEnd, for each file that
// has more than are told. [Sorted] makes them presentable.
func (r *report) raw() []trial.Problem {
	reported := slices.Clone(r.problems)
	for file, count := range r.counts { // sorted later
		if count > maxProblems {
			last := trial.Position{File: file, Line: atEnd}
			reported = append(reported, trial.Problem{At: last,
				Message: fmt.Sprintf("and %d more problems", count-maxProblems),
				Hint:    "correct the first ones and read again"})
		}
	}
	return reported
}

// Sorted returns problems of [Open] and [Folder.ReadSession] by file, line and
// column, each once.
func Sorted(problems []trial.Problem) []trial.Problem {
	reported := slices.Clone(problems)
	stable.Sort(reported, func(a, b trial.Problem) int {
		return cmp.Or(cmp.Compare(a.At.File, b.At.File), cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column))
	})
	reported = slices.Compact(reported)
	for i := range reported {
		if reported[i].At.Line == atEnd {
			reported[i].At.Line = 0
		}
	}
	return reported
}

// syntax splits the error of a units parser into what is wrong and what to do.
func syntax(err error) (message, hint string) {
	if s, ok := errors.AsType[*units.SyntaxError](err); ok {
		return s.Error(), s.Hint
	}
	return err.Error(), ""
}

// suggestOr is the hint with an unknown name: the one that was probably meant, or
// the given hint where none is near.
func suggestOr(given string, names []string, otherwise string) string {
	return cmp.Or(english.Suggest(given, names), otherwise)
}
