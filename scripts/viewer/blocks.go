package main

// tally is how often every symbol of a block comes.
type tally struct {
	literal  [286]int
	distance [30]int
	extra    int // bits that no code shortens
}

func count(symbols []symbol) *tally {
	t := &tally{}
	t.literal[256] = 1 // the end of the block
	for _, s := range symbols {
		if s.length == 0 {
			t.literal[s.value]++
			continue
		}
		t.literal[lengthSymbol(int(s.length))]++
		t.distance[distanceSymbol(s.value)]++
		t.extra += lengthExtra(int(s.length)) + distanceExtra(s.value)
	}
	return t
}

// with returns the tally of two neighbouring blocks as one.
func (t *tally) with(u *tally) *tally {
	sum := &tally{extra: t.extra + u.extra}
	for i := range sum.literal {
		sum.literal[i] = t.literal[i] + u.literal[i]
	}
	for i := range sum.distance {
		sum.distance[i] = t.distance[i] + u.distance[i]
	}
	sum.literal[256] = 1
	return sum
}

// size returns the bits that a block with this tally takes.
func (t *tally) size() int {
	literal, distance := lengths(t.literal[:], 15), lengths(t.distance[:], 15)
	size := 3 + header(nil, literal, distance) + t.extra
	for i, n := range t.literal {
		size += n * int(literal[i])
	}
	for i, n := range t.distance {
		size += n * int(distance[i])
	}
	return size
}

// part is a stretch of symbols that may become a block.
type part struct {
	symbols []symbol
	tally   *tally
	size    int
}

// leastBlock is how many symbols at least get codes of their own.
const leastBlock = 2048

// split parts symbols into blocks: from small ones on, the neighbours that gain
// most by sharing their codes are joined, until none gain.
func split(symbols []symbol) [][]symbol {
	var parts []part
	for rest := symbols; len(rest) > 0 || len(parts) == 0; {
		n := min(leastBlock, len(rest))
		t := count(rest[:n])
		parts = append(parts, part{rest[:n], t, t.size()})
		rest = rest[n:]
	}
	gains := make([]int, len(parts)-1)
	gain := func(i int) int { return parts[i].size + parts[i+1].size - parts[i].tally.with(parts[i+1].tally).size() }
	for i := range gains {
		gains[i] = gain(i)
	}
	for {
		best := -1
		for i, g := range gains {
			if g > 0 && (best < 0 || g > gains[best]) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		a, b := parts[best], parts[best+1]
		joined := a.tally.with(b.tally)
		parts[best] = part{a.symbols[:len(a.symbols)+len(b.symbols)], joined, joined.size()}
		parts = append(parts[:best+1], parts[best+2:]...)
		gains = append(gains[:best], gains[best+1:]...)
		for i := max(0, best-1); i < min(best+1, len(gains)); i++ {
			gains[i] = gain(i)
		}
	}
	blocks := make([][]symbol, len(parts))
	for i, p := range parts {
		blocks[i] = p.symbols
	}
	return blocks
}

// span returns how many bytes symbols stand for.
func span(symbols []symbol) (n int) {
	for _, s := range symbols {
		n += max(1, int(s.length))
	}
	return n
}

// writeBlock writes symbols as one block with codes of its own.
func writeBlock(w *bitWriter, symbols []symbol, last bool) {
	t := count(symbols)
	literal, distance := lengths(t.literal[:], 15), lengths(t.distance[:], 15)
	final := uint32(0)
	if last {
		final = 1
	}
	w.bits(final, 1)
	w.bits(2, 2)
	header(w, literal, distance)
	literalCode, distanceCode := codes(literal), codes(distance)
	for _, s := range symbols {
		if s.length == 0 {
			w.bits(literalCode[s.value], uint(literal[s.value]))
			continue
		}
		n := lengthSymbol(int(s.length))
		w.bits(literalCode[n], uint(literal[n]))
		extra := uint(lengthExtra(int(s.length)))
		w.bits(uint32(s.length-3)&(1<<extra-1), extra)
		d := distanceSymbol(s.value)
		w.bits(distanceCode[d], uint(distance[d]))
		extra = uint(distanceExtra(s.value))
		w.bits(uint32(s.value)&(1<<extra-1), extra)
	}
	w.bits(literalCode[256], uint(literal[256]))
}
