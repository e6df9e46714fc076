// Faults drives the built program from outside into everything that can go wrong
// with a disk, a file or a person: it kills it at random moments, fills its disk,
// takes rights away, changes files while they are read, and puts pipes, links,
// bombs and nonsense where text should be. Of every fault it checks that no file
// is half-written, that nothing is lost, that the message says what is wrong,
// that the program neither hangs nor fills the memory, and that the next run gives
// the bytes of an undisturbed one. It prints how often each was tried and
// survived, and how many bytes were lost.
package main

import (
	"flag"
	"fmt"
	"os"
	"strings"
)

func main() {
	kills := flag.Int("kills", 40, "how often each kind of run is killed")
	seed := flag.Uint64("seed", 1, "seed of the moments")
	only := flag.String("only", "", "comma-separated sections: "+strings.Join(sectionNames(), ", "))
	flag.Parse()
	c, err := newCampaign(".", *kills, *seed)
	if err != nil {
		fmt.Fprintln(os.Stderr, "faults:", err)
		os.Exit(2)
	}
	defer c.remove()
	c.run(*only)
	fmt.Print(c.table())
	if !c.survived() {
		c.remove()
		os.Exit(1)
	}
}

// section is one kind of faults.
type section struct {
	name string
	try  func(*campaign) error
}

var sections = []section{
	{"kills", (*campaign).tryKills},
	{"writers", (*campaign).tryWriters},
	{"races", (*campaign).tryRaces},
	{"hostile", (*campaign).tryHostile},
	{"places", (*campaign).tryPlaces},
	{"disk", (*campaign).tryDisk},
}

func sectionNames() []string {
	var names []string
	for _, s := range sections {
		names = append(names, s.name)
	}
	return names
}

// tally counts one kind of fault.
type tally struct {
	fault           string
	tried, survived int
	lost            int64 // bytes of inputs or outputs that are neither as before nor as after
	note            string
}

// campaign is one run of all faults.
type campaign struct {
	root     string // the repository
	scratch  string
	program  string
	kills    int
	short    bool
	seed     uint64
	measured []job // once they are needed
	tallies  []*tally
	wrong    []string // what did not go as it should
}

// run tries the sections, or those that are named.
func (c *campaign) run(only string) {
	for _, s := range sections {
		if only != "" && !strings.Contains(","+only+",", ","+s.name+",") {
			continue
		}
		if err := s.try(c); err != nil {
			c.wrong = append(c.wrong, fmt.Sprintf("%s: %v", s.name, err))
		}
	}
}

// count starts a line of the table.
func (c *campaign) count(fault string) *tally {
	t := &tally{fault: fault}
	c.tallies = append(c.tallies, t)
	return t
}

// tries is how many of a number of tries a campaign makes: all, or in a short one a
// quarter.
func (c *campaign) tries(tries int) int {
	if c.short {
		return tries / 4
	}
	return tries
}

// judge counts one try; it was survived when nothing is wrong.
func (c *campaign) judge(t *tally, what string, wrong []string) {
	t.tried++
	if len(wrong) == 0 {
		t.survived++
		return
	}
	for _, w := range wrong {
		c.wrong = append(c.wrong, t.fault+": "+what+": "+w)
	}
}

func (c *campaign) survived() bool { return len(c.wrong) == 0 }

// table is the result, in Markdown.
func (c *campaign) table() string {
	var out strings.Builder
	out.WriteString("| fault | tried | survived | bytes lost | |\n|---|---|---|---|---|\n")
	var sum tally
	for _, t := range c.tallies {
		fmt.Fprintf(&out, "| %s | %d | %d | %d | %s |\n", t.fault, t.tried, t.survived, t.lost, t.note)
		sum.tried, sum.survived, sum.lost = sum.tried+t.tried, sum.survived+t.survived, sum.lost+t.lost
	}
	fmt.Fprintf(&out, "| **all** | %d | %d | %d | |\n", sum.tried, sum.survived, sum.lost)
	for _, w := range c.wrong {
		fmt.Fprintf(&out, "\nwrong: %s", strings.TrimRight(w, "\n"))
	}
	if len(c.wrong) > 0 {
		out.WriteString("\n")
	}
	return out.String()
}
