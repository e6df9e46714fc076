package plan

import (
	"fmt"
	"strings"
)

// sheetWidth is how many letters a line of the sheet may have.
const sheetWidth = 80

// Text prints the sheet for paper or a terminal, 80 letters wide.
func (s *Sheet) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", s.Title)
	for _, fact := range s.Facts {
		indent(&b, "", fact)
	}
	if s.Track != "" {
		fmt.Fprintf(&b, "On the phone: %s\n", s.Track)
	}
	// The blocks and the shoes.
	fmt.Fprintf(&b, "\n    %-8s %-8s %-14s %-7s %-7s %-7s %-7s %s\n", "from", "to", "shoe", "sensor", "laps/m",
		"mean", "exert.", "comfort")
	for _, block := range s.Blocks {
		line := fmt.Sprintf("%3s %-8s %-8s %s %s", block.Number, block.From, block.To, truncate(block.Shoe, 14),
			emptyCells(block.Number))
		fmt.Fprintf(&b, "%s\n", strings.TrimRight(line, " "))
	}
	fmt.Fprintf(&b, "    (mean %s, exertion 0 to 10, comfort 0 to 100 mm)\n", s.Held)
	fmt.Fprintf(&b, "\n%-22s %-12s %-12s %s\n", "shoe", "left g", "right g", "sensor, foot, place")
	for _, shoe := range s.Shoes {
		fmt.Fprintf(&b, "%s ____________ ____________ %s\n", truncate(shoe, 22), s.sensor())
	}
	b.WriteString("\n")
	// The conditions, as many on a line as fit.
	line := ""
	for _, c := range Conditions {
		if next := c + " ________  "; len([]rune(line+next)) > sheetWidth {
			fmt.Fprintf(&b, "%s\n", strings.TrimRight(line, " "))
			line = next
		} else {
			line += next
		}
	}
	fmt.Fprintf(&b, "%s\n", strings.TrimRight(line, " "))
	// What to do and what to mind.
	for _, part := range []struct {
		title string
		lines []string
	}{{"before", Before}, {"afterwards", After}, {"take care", cautions}} {
		fmt.Fprintf(&b, "\n%s\n", part.title)
		for _, text := range part.lines {
			indent(&b, "- ", text)
		}
	}
	return b.String()
}

func (s *Sheet) sensor() string {
	if s.Sensor == "" {
		return strings.Repeat("_", 26)
	}
	return s.Sensor
}

// emptyCells is the room to write in beside a block.
func emptyCells(number string) string {
	if number == "" {
		return ""
	}
	return strings.Repeat("_______ ", 5)
}

// truncate fits text to a width, filled up with blanks.
func truncate(text string, width int) string {
	letters := []rune(text)
	if len(letters) > width {
		letters = append(letters[:width-1:width-1], '…')
	}
	return string(letters) + strings.Repeat(" ", width-len(letters))
}

// indent writes text after a lead, continued under its own beginning.
func indent(b *strings.Builder, lead, text string) {
	line := lead
	for _, word := range strings.Fields(text) {
		if len([]rune(line))+1+len([]rune(word)) > sheetWidth && strings.TrimSpace(line) != "" {
			fmt.Fprintf(b, "%s\n", line)
			line = strings.Repeat(" ", len(lead))
		}
		if strings.TrimSpace(line) != "" && !strings.HasSuffix(line, " ") {
			line += " "
		}
		line += word
	}
	fmt.Fprintf(b, "%s\n", line)
}
