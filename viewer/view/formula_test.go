package view

import "testing"

func TestNoCellIsAFormula(t *testing.T) {
	for table, want := range map[string]string{
		"shoe,low\na,-1.5\n":             "shoe,low\na,-1.5\n",
		"shoe,low\n=HYPERLINK(1),-1.5\n": "shoe,low\n'=HYPERLINK(1),-1.5\n",
		"shoe,note\n@a,\"-1,2\"\n":       "shoe,note\n'@a,\"'-1,2\"\n",
		"shoe,note\n\"broken\n":          "shoe,note\n\"broken\n",
		"shoe,note\n+a,b=c\n":            "shoe,note\n'+a,b=c\n",
	} {
		if got := string(withoutFormulas([]byte(table))); got != want {
			t.Errorf("%q becomes %q, want %q", table, got, want)
		}
	}
}
