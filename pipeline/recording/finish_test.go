package recording_test

import (
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/recording"
	"soletrial/pipeline/recording/fittest"
	"soletrial/pipeline/trial"
)

// Some devices write position and speed in one record and heart rate in another.
func TestSplitRecordsAreMerged(t *testing.T) {
	at := func(s int) time.Time { return inventedStart.Add(time.Duration(s) * time.Second) }
	var messages []proto.Message
	for i := range 5 {
		messages = append(messages,
			mesgdef.NewRecord(nil).SetTimestamp(at(i)).SetEnhancedSpeed(4000).ToMesg(nil),
			mesgdef.NewRecord(nil).SetTimestamp(at(i)).SetHeartRate(uint8(150+i)).ToMesg(nil))
	}
	// Two values of one channel in one second are left for the quality rules.
	messages = append(messages, mesgdef.NewRecord(nil).SetTimestamp(at(4)).SetHeartRate(99).ToMesg(nil))
	imp := mustRead(t, "run.fit", fittest.Encode(messages), recording.Options{})
	s := imp.Samples
	if s.Len() != 6 || s.Values[trial.SpeedMps][3] != 4 || s.Values[trial.HeartRateBpm][3] != 153 ||
		s.Values[trial.HeartRateBpm][5] != 99 {
		t.Errorf("%v %v %v", s.Elapsed, s.Values[trial.SpeedMps], s.Values[trial.HeartRateBpm])
	}
	if !strings.Contains(joined(imp.Dropped), "5 records were merged") || imp.Sources[0].Values != 6 {
		t.Errorf("dropped %q, sources %+v", imp.Dropped, imp.Sources)
	}
}

func TestDoubtsAreSaid(t *testing.T) {
	record := func(at time.Time) proto.Message {
		return mesgdef.NewRecord(nil).SetTimestamp(at).SetHeartRate(150).ToMesg(nil)
	}
	kind := func(k typedef.File) proto.Message { return mesgdef.NewFileId(nil).SetType(k).ToMesg(nil) }
	long := inventedStart.AddDate(87, 0, 0)
	for name, c := range map[string]struct {
		src  []byte
		want string
	}{
		"activity": {fittest.Encode([]proto.Message{kind(typedef.FileActivity), record(inventedStart)}), ""},
		"course": {
			fittest.Encode([]proto.Message{kind(typedef.FileCourse), record(inventedStart)}),
			"it says that it is a course, not a recording",
		},
		"ride": {
			fittest.Run(fittest.Spec{Blocks: 1, Sport: typedef.SportCycling}),
			"the device recorded it as cycling, not as running",
		},
		"future": {
			fittest.Encode([]proto.Message{record(long)}),
			"it is of the year 2113: the clock of the device was not set",
		},
		"past": {
			[]byte("time,power\n1970-01-02T00:00:00Z,280\n"),
			"it is of the year 1970: the clock of the device was not set",
		},
	} {
		if got := joined(mustRead(t, name, c.src, recording.Options{}).Doubts); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

func TestAFileWithoutAnyValueIsRefused(t *testing.T) {
	_, err := recording.Read("run.csv", []byte("t,power\n0,\n1,\n"), recording.Options{})
	want := "run.csv: the file has times but no value of any channel (export it with power, speed or heart rate)"
	if err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}
