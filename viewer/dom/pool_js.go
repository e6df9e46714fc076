//go:build js && wasm

package dom

import "soletrial/viewer/tree"

// pool holds the old children that a new one may take over: by key, or in order
// among those without one.
type pool struct {
	left  []*mounted
	keyed map[string]int
	next  int
}

func newPool(old []*mounted) *pool {
	p := &pool{left: append([]*mounted(nil), old...), keyed: map[string]int{}}
	for i, m := range old {
		if m.node.Key != "" {
			p.keyed[m.node.Key] = i
		}
	}
	return p
}

// take hands out what may become node, or nil.
func (p *pool) take(node *tree.Node) *mounted {
	place, found := p.place(node)
	if !found || p.left[place] == nil || p.left[place].node.Tag != node.Tag {
		return nil
	}
	m := p.left[place]
	p.left[place] = nil
	return m
}

func (p *pool) place(node *tree.Node) (int, bool) {
	if node.Key != "" {
		place, found := p.keyed[node.Key]
		return place, found
	}
	for p.next < len(p.left) && (p.left[p.next] == nil || p.left[p.next].node.Key != "") {
		p.next++
	}
	p.next++
	return p.next - 1, p.next <= len(p.left)
}

// rest lists what nobody took.
func (p *pool) rest() []*mounted {
	var rest []*mounted
	for _, m := range p.left {
		if m != nil {
			rest = append(rest, m)
		}
	}
	return rest
}
