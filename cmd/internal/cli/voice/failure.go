package voice

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"soletrial/pipeline/trial"
)

// Exit codes of the program.
const (
	ExitOK    = 0
	ExitStop  = 1 // a stop finding that is not overridden, or stale tables
	ExitUsage = 2 // a wrong command line, or input that cannot be read
)

// Failure ends a command. Its message and hint are for people; problems are the
// places in the text that need attention.
type Failure struct {
	Code     int
	Message  string
	Hint     string
	Problems []trial.Problem
}

func (f *Failure) Error() string { return f.Message }

// Usage is a failure of the command line or of what it points at. The hint says
// what to do; "" for none.
func Usage(hint, format string, args ...any) error {
	return &Failure{Code: ExitUsage, Message: fmt.Sprintf(format, args...), Hint: hint}
}

// Unreadable is a failure of the dataset's text.
func Unreadable(problems []trial.Problem) error {
	noun := "problem"
	if len(problems) > 1 {
		noun = "problems"
	}
	return &Failure{
		Code: ExitUsage, Message: fmt.Sprintf("%d %s in the text of the dataset", len(problems), noun),
		Hint: "nothing was written", Problems: problems,
	}
}

// Stopped is a result that is not fine.
func Stopped(hint, format string, args ...any) error {
	return &Failure{Code: ExitStop, Message: fmt.Sprintf(format, args...), Hint: hint}
}

// Reason is an error of the file system without its path and call, which the
// message around it already names.
func Reason(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}
