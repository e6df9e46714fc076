package derive_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/compare"
	"soletrial/pipeline/derive"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
	"soletrial/pipeline/trial"
)

// lab is an invented laboratory: sessions without recordings, whose block means
// stand in blocks.csv, so that every number of a comparison can be worked out by
// hand.
type lab struct {
	method   string // lines below method:
	sessions []labSession
}

// labSession is one session; the fields not given are power held at 250 W with
// blocks of 300 s every 400 s.
type labSession struct {
	id      string
	facts   string // lines of session.yaml instead of effort and target
	untimed bool
	blocks  []labBlock
}

// labBlock is one block. Where zero, power is the target, and heart and target
// are blank.
type labBlock struct {
	shoe         string
	speed        float64
	power, heart float64
	target       string
	include      string // such as "no,lost count"
}

func (l lab) files() fstest.MapFS {
	fsys := fstest.MapFS{
		"dataset.yaml": {Data: []byte("title: an invented laboratory\ninvented: true\n")},
		"runners.csv":  {Data: []byte("id,label\nme,Me\n")},
		"shoes.csv":    {Data: []byte("id,label,mass_g\na,Alder,240\nb,Birch,210\nc,Cedar,225\nd,Damson,230\n")},
	}
	if l.method != "" {
		fsys["dataset.yaml"].Data = append(fsys["dataset.yaml"].Data, "method:\n"+l.method...)
	}
	for i, s := range l.sessions {
		id := s.id
		if id == "" {
			id = fmt.Sprintf("s%02d", i+1)
		}
		facts := s.facts
		if facts == "" {
			facts = "effort: power\ntarget: 250\n"
		}
		folder := "sessions/" + id + "/"
		fsys[folder+"session.yaml"] = &fstest.MapFile{Data: fmt.Appendf(nil, "date: 2026-05-%02d\n%s", i+1, facts)}
		fsys[folder+"blocks.csv"] = &fstest.MapFile{Data: s.table()}
	}
	return fsys
}

func (s labSession) table() []byte {
	text := "block,shoe,start_s,end_s,target,include,reason,power_w,speed_mps,heart_rate_bpm\n"
	for i, b := range s.blocks {
		times := fmt.Sprintf("%d,%d", 400*i, 400*i+300)
		if s.untimed {
			times = ","
		}
		power, heart := "250", ""
		if b.power != 0 {
			power = fmt.Sprintf("%.17f", b.power)
		}
		if b.heart != 0 {
			heart = fmt.Sprintf("%.17f", b.heart)
		}
		include := b.include
		if include == "" {
			include = ","
		}
		text += fmt.Sprintf("%d,%s,%s,%s,%s,%s,%.17f,%s\n", i+1, b.shoe, times, b.target, include, power, b.speed,
			heart)
	}
	return []byte(text)
}

// worn makes blocks of shoes, one letter each, at the given speeds.
func worn(order string, speeds ...float64) []labBlock {
	blocks := make([]labBlock, len(order))
	for i, letter := range strings.ToLower(order) {
		blocks[i] = labBlock{shoe: string(letter), speed: speeds[i]}
	}
	return blocks
}

func (l lab) derive(t testing.TB) *derive.Result { return deriveFS(t, l.files()) }

// fataler is what testing and rapid have in common.
type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

func deriveFS(t fataler, fsys fstest.MapFS) *derive.Result {
	t.Helper()
	folder, problems := plaintext.Open(fsys, yamltext.Read, 1)
	r, problems, err := derive.FromFolder(folder, problems, derive.Options{})
	if err != nil || len(problems) > 0 {
		t.Fatalf("cannot derive: %v %v", err, problems)
	}
	return r
}

// of returns shoe against reference in an outcome at a level.
func of(t fataler, r *derive.Result, outcome trial.Outcome, level, shoe, reference string) compare.Comparison {
	t.Helper()
	c := r.Compare.Find(outcome, level, shoe, reference)
	if c == nil {
		t.Fatalf("no comparison of %s and %s in %s at %s", shoe, reference, outcome.Info().ID, level)
	}
	if c.Shoe != shoe {
		return c.Reverse()
	}
	return *c
}

// speed returns the comparison in speed at 250 W.
func speed(t fataler, r *derive.Result, shoe, reference string) compare.Comparison {
	t.Helper()
	return of(t, r, trial.Speed, "power 250", shoe, reference)
}

func near(t fataler, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Fatalf("%s: %.12g, want %.12g", what, got, want)
	}
}
