//go:build js && wasm

package dom

import "soletrial/viewer/tree"

// pool holds the old children that new ones can reuse: by key, or in order among
// those without one.
type pool struct {
	unused []*mounted
	keyed  map[string]int
	next   int
}

func newPool(old []*mounted) *pool {
	p := &pool{unused: append([]*mounted(nil), old...), keyed: map[string]int{}}
	for i, m := range old {
		if m.node.Key != "" {
			p.keyed[m.node.Key] = i
		}
	}
	return p
}

// take removes and returns the child that can become node; nil where there is none.
func (p *pool) take(node *tree.Node) *mounted {
	place, found := p.place(node)
	if !found || p.unused[place] == nil || p.unused[place].node.Tag != node.Tag {
		return nil
	}
	m := p.unused[place]
	p.unused[place] = nil
	return m
}

func (p *pool) place(node *tree.Node) (int, bool) {
	if node.Key != "" {
		place, found := p.keyed[node.Key]
		return place, found
	}
	for p.next < len(p.unused) && (p.unused[p.next] == nil || p.unused[p.next].node.Key != "") {
		p.next++
	}
	p.next++
	return p.next - 1, p.next <= len(p.unused)
}

// remaining lists the children that were not taken.
func (p *pool) remaining() []*mounted {
	var list []*mounted
	for _, m := range p.unused {
		if m != nil {
			list = append(list, m)
		}
	}
	return list
}
