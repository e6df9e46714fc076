package quality

import (
	"strconv"

	"soletrial/pipeline/steady"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// Messages are put together with + and these: the explorer carries every rule,
// and formatting by pattern weighs several times as much.

func num(x float64, decimals int) string { return units.FormatDecimal(x, decimals) }

func quoted(s string) string { return strconv.Quote(s) }

// percent writes a signed percentage with one decimal.
func percent(x float64) string { return signed(x) + " %" }

func signed(x float64) string {
	if x > 0 {
		return "+" + num(x, 1)
	}
	return num(x, 1)
}

// counted writes a number with its noun, in the plural where needed.
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}

// listed joins texts.
func listed(texts []string, between string) string {
	all := ""
	for i, t := range texts {
		if i > 0 {
			all += between
		}
		all += t
	}
	return all
}

// heldWords names an effort in words.
func heldWords(effort trial.Effort) string {
	if effort == trial.HeartRate {
		return "heart rate"
	}
	return string(effort)
}

func heldText(effort trial.Effort, held float64) string {
	if effort == trial.Pace {
		return units.FormatPace(held)
	}
	return num(held, 1)
}

// share is what the blocks of one shoe add up to.
type share struct {
	shoe string
	n    int
	sum  float64
}

func (s *share) mean() float64 { return s.sum / float64(s.n) }

// shares adds a value up by shoe, in the order of the shoes' ids and of the blocks
// within a shoe; blocks without the value do not count. The value gets the place
// of the block, from 0.
func shares(blocks []*steady.Summary, value func(int, *steady.Summary) float64) []share {
	var list []share
	for place, b := range blocks {
		v := value(place, b)
		if !units.Known(v) {
			continue
		}
		i := 0
		for i < len(list) && list[i].shoe < b.Shoe {
			i++
		}
		if i == len(list) || list[i].shoe != b.Shoe {
			list = append(list, share{})
			copy(list[i+1:], list[i:])
			list[i] = share{shoe: b.Shoe}
		}
		list[i].n++
		list[i].sum += v
	}
	return list
}

// perShoe counts blocks by shoe.
func perShoe(blocks []*steady.Summary) []share {
	return shares(blocks, func(int, *steady.Summary) float64 { return 1 })
}

// blocksOf returns how many blocks a shoe has.
func blocksOf(list []share, shoe string) int {
	for i := range list {
		if list[i].shoe == shoe {
			return list[i].n
		}
	}
	return 0
}
