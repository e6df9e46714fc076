package main

import (
	"math/bits"
	"sort"
)

// bitWriter appends bits as deflate packs them: lowest first.
type bitWriter struct {
	out  []byte
	held uint64
	n    uint
}

func (w *bitWriter) bits(value uint32, n uint) {
	w.held |= uint64(value) << w.n
	for w.n += n; w.n >= 8; w.n -= 8 {
		w.out = append(w.out, byte(w.held))
		w.held >>= 8
	}
}

func (w *bitWriter) flush() []byte {
	if w.n > 0 {
		w.out = append(w.out, byte(w.held))
	}
	return w.out
}

// lengths returns the lengths of a Huffman code for symbols counted, none longer
// than the limit: where one would be, rare symbols are counted more alike. A code
// has at least two symbols, which old decoders ask for.
func lengths(counts []int, limit uint8) []uint8 {
	scaled := append([]int(nil), counts...)
	for symbol, used := 0, used(counts); used < 2; symbol++ {
		if scaled[symbol] == 0 {
			scaled[symbol], used = 1, used+1
		}
	}
	for {
		if found := depths(scaled); max8(found) <= limit {
			return found
		}
		for i, n := range scaled {
			if n > 0 {
				scaled[i] = n/2 + 1
			}
		}
	}
}

func used(counts []int) (n int) {
	for _, c := range counts {
		if c > 0 {
			n++
		}
	}
	return n
}

func max8(list []uint8) (most uint8) {
	for _, x := range list {
		most = max(most, x)
	}
	return most
}

// depths is Huffman's algorithm with two queues: leaves by count, and the joined
// nodes, which come out by count by themselves.
func depths(counts []int) []uint8 {
	var leaves []int
	for symbol, n := range counts {
		if n > 0 {
			leaves = append(leaves, symbol)
		}
	}
	sort.SliceStable(leaves, func(i, j int) bool { return counts[leaves[i]] < counts[leaves[j]] })
	n := len(leaves)
	weight, parent := make([]int, 2*n-1), make([]int, 2*n-1)
	for i, symbol := range leaves {
		weight[i] = counts[symbol]
	}
	leaf, joined := 0, n
	for next := n; next < 2*n-1; next++ {
		for range 2 {
			if leaf < n && (joined == next || weight[leaf] <= weight[joined]) {
				weight[next] += weight[leaf]
				parent[leaf] = next
				leaf++
			} else {
				weight[next] += weight[joined]
				parent[joined] = next
				joined++
			}
		}
	}
	depth, found := make([]uint8, 2*n-1), make([]uint8, len(counts))
	for i := 2*n - 3; i >= 0; i-- {
		depth[i] = depth[parent[i]] + 1
	}
	for i, symbol := range leaves {
		found[symbol] = depth[i]
	}
	return found
}

// codes returns the canonical codes of RFC 1951, section 3.2.2, bits reversed for
// the writer.
func codes(lengths []uint8) []uint32 {
	var count, next [17]uint32
	for _, l := range lengths {
		count[l]++
	}
	count[0] = 0
	for l := 1; l < 17; l++ {
		next[l] = (next[l-1] + count[l-1]) << 1
	}
	found := make([]uint32, len(lengths))
	for i, l := range lengths {
		if l > 0 {
			found[i] = bits.Reverse32(next[l]) >> (32 - l)
			next[l]++
		}
	}
	return found
}

// lengthOrder is the order in which a block's header writes the lengths of the
// code for lengths (RFC 1951, section 3.2.7).
var lengthOrder = [19]int{16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15}

// runs writes a list of code lengths with the signs for repetition, 16 to 18,
// each with its extra bits.
func runs(list []uint8) (signs []uint8, extras []uint32) {
	put := func(sign uint8, extra int) { signs, extras = append(signs, sign), append(extras, uint32(extra)) }
	for i := 0; i < len(list); {
		n := 1
		for i+n < len(list) && list[i+n] == list[i] {
			n++
		}
		i += n
		value := list[i-1]
		if value != 0 {
			put(value, 0)
			n--
		}
		for n >= 3 {
			switch {
			case value != 0:
				put(16, min(n, 6)-3)
				n -= min(n, 6)
			case n < 11:
				put(17, n-3)
				n = 0
			default:
				put(18, min(n, 138)-11)
				n -= min(n, 138)
			}
		}
		for range n {
			put(value, 0)
		}
	}
	return signs, extras
}

var signBits = [19]uint{16: 2, 17: 3, 18: 7}

// header writes the codes of a block and returns its size in bits; a nil writer
// only counts.
func header(w *bitWriter, literal, distance []uint8) int {
	literals, distances := len(literal), len(distance)
	for ; literals > 257 && literal[literals-1] == 0; literals-- {
	}
	for ; distances > 1 && distance[distances-1] == 0; distances-- {
	}
	signs, extras := runs(append(append([]uint8(nil), literal[:literals]...), distance[:distances]...))
	counts := make([]int, 19)
	for _, s := range signs {
		counts[s]++
	}
	code := lengths(counts, 7)
	last := 18
	for ; last > 3 && code[lengthOrder[last]] == 0; last-- {
	}
	size := 14 + 3*(last+1)
	for _, s := range signs {
		size += int(code[s]) + int(signBits[s])
	}
	if w == nil {
		return size
	}
	w.bits(uint32(literals-257), 5)
	w.bits(uint32(distances-1), 5)
	w.bits(uint32(last-3), 4)
	for _, s := range lengthOrder[:last+1] {
		w.bits(uint32(code[s]), 3)
	}
	written := codes(code)
	for i, s := range signs {
		w.bits(written[s], uint(code[s]))
		w.bits(extras[i], signBits[s])
	}
	return size
}
