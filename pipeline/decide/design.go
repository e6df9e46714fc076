package decide

import (
	"encoding/binary"
	"math"
	"slices"
)

// columnKind is a covariate of the model.
type columnKind int

const (
	driftColumn columnKind = iota
	curveColumn
	exponentColumn
)

// column is a covariate with a normal prior about 0.
type column struct {
	kind columnKind
	sd   float64
}

// design is the data of a model as sums: everything that the posterior needs of the blocks.
type design struct {
	shoes, runners []string
	terms          Terms
	columns        []column
	groups         [][]int // linked shoes, each group sorted
	free           []int   // the shoes that are not the first of their group
	parts          []part
	sizes          []int // sizes[n] counts the sets of n blocks of one shoe in one session
	blocks, cells  int   // cells: session and level
}

// part is what shares a runner, or everything where runners make no difference.
type part struct {
	shoes   []int // global indices, ascending
	layouts []layoutSums
	at      map[string]int // of the layout of a session among layouts
}

// layoutSums are the sums over sessions that have as many blocks of the same shoes at each of
// their levels. Their columns are the design's and then y - k x at the prior's mean of k, each
// less its mean within the level: α absorbs that.
type layoutSums struct {
	shoes    []int     // indices in the part, ascending
	blocks   []float64 // of each shoe, in one session
	levels   int
	counts   []float64 // levels x shoes: blocks of a level in a shoe, in one session
	sessions float64
	sums     []float64 // shoes x columns
	cross    []float64 // columns x columns: sums of products over the blocks
	// between are the sums over the sessions of the products of two shoes' sums: shoes x shoes, and
	// of each two shoes the lower triangle of columns x columns.
	between []float64
}

// newDesign sums the blocks up. They are checked.
func newDesign(blocks []Block, s Settings) *design {
	blocks = ordered(blocks)
	d := &design{
		shoes:   labels(blocks, func(b *Block) string { return b.Shoe }),
		runners: labels(blocks, func(b *Block) string { return b.Runner }),
		blocks:  len(blocks),
	}
	d.terms = s.terms(blocks, len(d.runners))
	if d.terms.Drift {
		d.columns = append(d.columns, column{driftColumn, s.Prior.DriftSD})
	}
	if d.terms.Curve {
		d.columns = append(d.columns, column{curveColumn, s.Prior.DriftSD})
	}
	if d.terms.Exponent && s.Prior.Exponent.SD > 0 {
		d.columns = append(d.columns, column{exponentColumn, s.Prior.Exponent.SD})
	}
	d.link(blocks)
	d.parts = d.newParts(blocks)
	for session := range bySession(blocks) {
		d.add(session, s.Prior.Exponent.Mean)
	}
	return d
}

// newParts returns the parts, without sessions yet.
func (d *design) newParts(blocks []Block) []part {
	if !d.terms.Runner {
		return []part{{shoes: everyIndex(len(d.shoes)), at: map[string]int{}}}
	}
	parts := make([]part, len(d.runners))
	for r := range parts {
		parts[r].at = map[string]int{}
	}
	for _, b := range blocks {
		r, _ := slices.BinarySearch(d.runners, b.Runner)
		j, _ := slices.BinarySearch(d.shoes, b.Shoe)
		if at, found := slices.BinarySearch(parts[r].shoes, j); !found {
			parts[r].shoes = slices.Insert(parts[r].shoes, at, j)
		}
	}
	return parts
}

func everyIndex(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}

// bySession yields the runs of blocks of one session. The blocks are ordered.
func bySession(blocks []Block) func(yield func([]Block) bool) {
	return func(yield func([]Block) bool) {
		for len(blocks) > 0 {
			n := 1
			for n < len(blocks) && blocks[n].Session == blocks[0].Session {
				n++
			}
			if !yield(blocks[:n]) {
				return
			}
			blocks = blocks[n:]
		}
	}
}

// add sums up one session.
func (d *design) add(blocks []Block, exponent float64) {
	p := &d.parts[0]
	if d.terms.Runner {
		r, _ := slices.BinarySearch(d.runners, blocks[0].Runner)
		p = &d.parts[r]
	}
	levels := labels(blocks, func(b *Block) string { return b.Level })
	shoes := labels(blocks, func(b *Block) string { return b.Shoe })
	k, width := len(shoes), len(d.columns)+1
	// Count the blocks, then add up products of the centred columns.
	counts, sums := make([]float64, len(levels)*k), make([]float64, k*width)
	cross := make([]float64, width*width)
	values := d.centredColumns(blocks, levels, exponent)
	for i := range blocks {
		j, _ := slices.BinarySearch(shoes, blocks[i].Shoe)
		a, _ := slices.BinarySearch(levels, blocks[i].Level)
		counts[a*k+j]++
		row := values[i*width : (i+1)*width]
		for c, v := range row {
			sums[j*width+c] += v
			for e, u := range row[:c+1] {
				cross[c*width+e] += float64(v * u)
			}
		}
	}
	// Add them to those of the sessions of the same layout.
	s := d.sumsOfLayout(p, shoes, counts)
	s.sessions++
	d.cells += len(levels)
	for _, n := range s.blocks {
		for len(d.sizes) <= int(n) {
			d.sizes = append(d.sizes, 0)
		}
		d.sizes[int(n)]++
	}
	s.add(sums, cross)
}

// sumsOfLayout returns the sums of the sessions of a part that have the given counts of blocks, by
// level and shoe.
func (d *design) sumsOfLayout(p *part, labels []string, counts []float64) *layoutSums {
	k, width := len(labels), len(d.columns)+1
	shoes, blocks, layout := make([]int, k), make([]float64, k), make([]byte, 0, 4*(k+len(counts)))
	for i, shoe := range labels {
		global, _ := slices.BinarySearch(d.shoes, shoe)
		shoes[i], _ = slices.BinarySearch(p.shoes, global)
		layout = binary.AppendUvarint(layout, uint64(shoes[i]))
	}
	layout = append(layout, '/')
	for i, n := range counts {
		blocks[i%k] += n
		layout = binary.AppendUvarint(layout, uint64(n))
	}
	at, known := p.at[string(layout)]
	if !known {
		at = len(p.layouts)
		p.layouts = append(p.layouts, layoutSums{
			shoes: shoes, blocks: blocks, levels: len(counts) / k, counts: counts,
			sums: make([]float64, k*width), cross: make([]float64, width*width),
			between: make([]float64, width*(width+1)/2*k*k),
		})
		p.at[string(layout)] = at
	}
	return &p.layouts[at]
}

// add adds the sums of one session.
func (s *layoutSums) add(sums, cross []float64) {
	k := len(s.shoes)
	width := len(sums) / k
	for i, v := range sums {
		s.sums[i] += v
	}
	for i, v := range cross {
		s.cross[i] += v
	}
	at := 0
	for j := range k {
		for i := range k {
			for c := range width {
				for e := range c + 1 {
					s.between[at] += float64(sums[j*width+c] * sums[i*width+e])
					at++
				}
			}
		}
	}
}

// centredColumns returns the columns and y - k x for each block of a session, less their
// means within each level.
func (d *design) centredColumns(blocks []Block, levels []string, exponent float64) []float64 {
	width := len(d.columns) + 1
	values := make([]float64, len(blocks)*width)
	meanTime := 0.0
	if d.terms.Drift {
		for _, b := range blocks {
			meanTime += b.TimeH
		}
		meanTime /= float64(len(blocks))
	}
	for i, b := range blocks {
		row := values[i*width : (i+1)*width]
		t := b.TimeH - meanTime
		for c, col := range d.columns {
			row[c] = [...]float64{driftColumn: t, curveColumn: float64(t * t), exponentColumn: b.X}[col.kind]
		}
		row[width-1] = b.Y
		if d.terms.Exponent {
			row[width-1] = b.Y - float64(exponent*b.X)
		}
	}
	for _, level := range levels {
		centre(values, width, blocks, level)
	}
	return values
}

// centre subtracts each column's mean over the blocks of a level.
func centre(values []float64, width int, blocks []Block, level string) {
	for c := range width {
		sum, n := 0.0, 0.0
		for i, b := range blocks {
			if b.Level == level {
				sum += values[i*width+c]
				n++
			}
		}
		mean := sum / n
		for i, b := range blocks {
			if b.Level == level {
				values[i*width+c] -= mean
			}
		}
	}
}

// link finds the groups of shoes that share a session and level, directly or through others.
func (d *design) link(blocks []Block) {
	leader := everyIndex(len(d.shoes))
	find := func(j int) int {
		for leader[j] != j {
			leader[j] = leader[leader[j]]
			j = leader[j]
		}
		return j
	}
	// Shoes that were run in one session and level belong together; those blocks stand together.
	first := 0
	for i, b := range blocks {
		j, _ := slices.BinarySearch(d.shoes, b.Shoe)
		if i > 0 && b.Session == blocks[i-1].Session && b.Level == blocks[i-1].Level {
			x, y := find(j), find(first)
			leader[max(x, y)] = min(x, y)
		} else {
			first = j
		}
	}
	// Number the groups; all shoes but the first of each group are free.
	at := map[int]int{}
	for j := range d.shoes {
		root := find(j)
		g, seen := at[root]
		if !seen {
			g = len(d.groups)
			at[root] = g
			d.groups = append(d.groups, nil)
		} else {
			d.free = append(d.free, j)
		}
		d.groups[g] = append(d.groups[g], j)
	}
}

// missing is the value of what a posterior does not have.
var missing = math.NaN()
