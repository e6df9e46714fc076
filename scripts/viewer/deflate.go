package main

import (
	"encoding/binary"
	"hash/crc32"
	"math"
	"math/bits"
)

// gzipped packs bytes as gzip (RFC 1952 and 1951), smaller than the standard
// library can, at the price of seconds: a reader fetches what is packed once. It
// weighs every way to write the bytes by what the symbols will cost, which it
// knows from the round before, and gives stretches that differ codes of their own.
func gzipped(data []byte) []byte {
	w := &bitWriter{out: []byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 2, 255}}
	finder := newFinder(data)
	for at := 0; at < len(data) || at == 0; at += stretch {
		end := min(at+stretch, len(data))
		matches := finder.matches(at, end)
		blocks := split(cheapest(data[at:end], matches, 4, nil))
		from := 0
		for i, block := range blocks {
			length := span(block)
			piece := pieceOf(matches, from, from+length)
			again := cheapest(data[at+from:at+from+length], piece, 3, block)
			writeBlock(w, again, i == len(blocks)-1 && end == len(data))
			from += length
		}
	}
	out := w.flush()
	out = binary.LittleEndian.AppendUint32(out, crc32.ChecksumIEEE(data))
	return binary.LittleEndian.AppendUint32(out, uint32(len(data)))
}

const (
	stretch   = 1 << 20 // bytes weighed together
	window    = 1 << 15
	longest   = 258
	chainMost = 1024 // places looked at for a match
)

// symbol is a literal byte (length 0), or a match.
type symbol struct{ length, value uint16 }

// match is a length with the least distance that has it. All shorter ones down to
// the match before have it too.
type match struct{ length, distance uint16 }

// finder knows, for every place, where its first three bytes came before.
type finder struct {
	data []byte
	head []int32
	prev []int32
}

func newFinder(data []byte) *finder {
	f := &finder{data: data, head: make([]int32, 1<<16), prev: make([]int32, len(data))}
	for i := range f.head {
		f.head[i] = -1
	}
	return f
}

// matches lists the matches at every place from at to end, by place.
func (f *finder) matches(at, end int) [][]match {
	list := make([][]match, end-at)
	var pool []match
	for i := at; i < end; i++ {
		if i+2 >= len(f.data) {
			break
		}
		d := f.data[i:min(end, i+longest)]
		key := (uint32(f.data[i])<<16 | uint32(f.data[i+1])<<8 | uint32(f.data[i+2])) * 2654435761 >> 16
		first, best := len(pool), 2
		place := f.head[key]
		for n := 0; place >= 0 && i-int(place) <= window && n < chainMost && best < len(d); n++ {
			past := f.data[place:]
			if past[best] == d[best] && past[0] == d[0] && past[1] == d[1] && past[2] == d[2] {
				if length := common(past, d); length > best {
					best = length
					pool = append(pool, match{uint16(length), uint16(i - int(place) - 1)})
				}
			}
			place = f.prev[place]
		}
		list[i-at] = pool[first:len(pool):len(pool)]
		f.prev[i], f.head[key] = f.head[key], int32(i)
	}
	return list
}

func common(a, b []byte) int {
	n := 0
	for ; n+8 <= len(b) && n+8 <= len(a); n += 8 {
		if x := binary.LittleEndian.Uint64(a[n:]) ^ binary.LittleEndian.Uint64(b[n:]); x != 0 {
			return n + bits.TrailingZeros64(x)/8
		}
	}
	for n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

// pieceOf cuts matches down to those inside a stretch.
func pieceOf(matches [][]match, from, to int) [][]match {
	piece := make([][]match, to-from)
	for i := range piece {
		piece[i] = matches[from+i]
	}
	return piece
}

// costs are what symbols take, in bits.
type costs struct {
	literal  [256]float32
	length   [longest + 1]float32
	distance [30]float32
}

// cheapest finds the cheapest symbols for the data, given what symbols cost in
// the guess, round after round.
func cheapest(data []byte, matches [][]match, rounds int, guess []symbol) []symbol {
	price := priced(guess)
	var found []symbol
	for range rounds {
		found = path(data, matches, price)
		price = priced(found)
	}
	return found
}

func path(data []byte, matches [][]match, price *costs) []symbol {
	cost, came := make([]float32, len(data)+1), make([]symbol, len(data)+1)
	for i := 1; i <= len(data); i++ {
		cost[i] = math.MaxFloat32
	}
	for i := range data {
		here := cost[i]
		if c := here + price.literal[data[i]]; c < cost[i+1] {
			cost[i+1], came[i+1] = c, symbol{0, uint16(data[i])}
		}
		shorter := 2
		for _, m := range matches[i] {
			far := here + price.distance[distanceSymbol(m.distance)] + float32(distanceExtra(m.distance))
			for l := shorter + 1; l <= int(m.length) && i+l <= len(data); l++ {
				if c := far + price.length[l]; c < cost[i+l] {
					cost[i+l], came[i+l] = c, symbol{uint16(l), m.distance}
				}
			}
			shorter = int(m.length)
		}
	}
	var back []symbol
	for i := len(data); i > 0; {
		s := came[i]
		back = append(back, s)
		i -= max(1, int(s.length))
	}
	for i, j := 0, len(back)-1; i < j; i, j = i+1, j-1 {
		back[i], back[j] = back[j], back[i]
	}
	return back
}

// priced returns what symbols cost by how often they come, ideally; without any,
// a first guess.
func priced(symbols []symbol) *costs {
	var c costs
	if symbols == nil {
		for i := range c.literal {
			c.literal[i] = 8
		}
		for l := 3; l <= longest; l++ {
			c.length[l] = 7 + float32(lengthExtra(l))
		}
		for i := range c.distance {
			c.distance[i] = 5
		}
		return &c
	}
	t := count(symbols)
	literal, distance := entropy(t.literal[:]), entropy(t.distance[:])
	copy(c.literal[:], literal)
	for l := 3; l <= longest; l++ {
		c.length[l] = literal[lengthSymbol(l)] + float32(lengthExtra(l))
	}
	copy(c.distance[:], distance)
	return &c
}

// entropy returns the ideal bits of every symbol; one that did not come costs as
// if it had come once in twice as many.
func entropy(counts []int) []float32 {
	total := 0
	for _, n := range counts {
		total += n
	}
	bits := make([]float32, len(counts))
	for i, n := range counts {
		bits[i] = float32(math.Log2(float64(2*total+2)) - math.Log2(math.Max(2*float64(n), 1)))
	}
	return bits
}

// The symbols of lengths and distances (RFC 1951, section 3.2.5) follow from
// their leading bits.
func lengthSymbol(l int) int {
	switch x := uint(l - 3); {
	case l == longest:
		return 285
	case x < 8:
		return 257 + int(x)
	default:
		n := bits.Len(x) - 3
		return 257 + 4*n + int(x>>n)
	}
}

func lengthExtra(l int) int {
	if x := uint(l - 3); x >= 8 && l != longest {
		return bits.Len(x) - 3
	}
	return 0
}

func distanceSymbol(d uint16) int {
	if d < 4 {
		return int(d)
	}
	n := bits.Len16(d) - 2
	return 2*n + int(d>>n)
}

func distanceExtra(d uint16) int { return max(0, bits.Len16(d)-2) }
