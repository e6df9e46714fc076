package yamltext_test

import (
	"bytes"
	"strings"
	"testing"
	"testing/fstest"

	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/plaintext/yamltext"
)

// outline prints a tree with its places: plain texts bare, others quoted.
func outline(n *plaintext.Node) string {
	at := n.At
	at.File = ""
	place := strings.TrimPrefix(at.String(), ":")
	var out strings.Builder
	switch {
	case n.Kind == plaintext.Mapping:
		out.WriteString("{" + place)
		for _, pair := range n.Pairs {
			out.WriteString(" " + pair.Key + "=" + outline(pair.Value))
		}
		out.WriteString("}")
	case n.Kind == plaintext.Sequence:
		out.WriteString("[" + place)
		for _, item := range n.Items {
			out.WriteString(" " + outline(item))
		}
		out.WriteString("]")
	case n.Plain:
		out.WriteString(n.Text + "@" + place)
	default:
		out.WriteString(`"` + n.Text + `"@` + place)
	}
	return out.String()
}

// The expected trees follow the YAML 1.2.2 specification; plain scalars keep
// their source text whatever type YAML would give them.
func TestParse(t *testing.T) {
	for text, want := range map[string]string{
		"":                              "@1:1",
		"# nothing but a comment\n":     "@1:1",
		"---\na: 1\n":                   "{2:1 a=1@2:4}",
		"a: 4:30\nb: 2026-05-02\n":      "{1:1 a=4:30@1:4 b=2026-05-02@2:4}",
		"a: 0x10\nb: 1_000\nc: .inf\n":  "{1:1 a=0x10@1:4 b=1_000@2:4 c=.inf@3:4}",
		"a: 012\nb: +1.50\nc: 1e3\n":    "{1:1 a=012@1:4 b=+1.50@2:4 c=1e3@3:4}",
		"a: yes\nb: True\nc: ~\nd:\n":   "{1:1 a=yes@1:4 b=True@2:4 c=~@3:4 d=@4:1}",
		"a: \"x\\ty\"\nb: 'it''s'\n":    "{1:1 a=\"x\ty\"@1:4 b=\"it's\"@2:4}",
		"a: one\n  two\nb: 1\n":         "{1:1 a=one two@1:4 b=1@3:4}",
		"a: |\n  one\n  two\nb: 1\n":    "{1:1 a=\"one\ntwo\n\"@1:4 b=1@4:4}",
		"a: >-\n  one\n  two\n":         "{1:1 a=\"one two\"@1:4}",
		"- a\n- b: 1\n  c: 2\n":         "[1:1 a@1:3 {2:3 b=1@2:6 c=2@3:6}]",
		"a:\n- x\n- [y, {z: 1}]\nb: 2":  "{1:1 a=[2:1 x@2:3 [3:3 y@3:4 {3:7 z=1@3:11}]] b=2@4:4}",
		"\"a b\": 1\n'c': 2\n3: x\n":    "{1:1 a b=1@1:8 c=2@2:6 3=x@3:4}",
		"a: x # not text\nb: x#text\n":  "{1:1 a=x@1:4 b=x#text@2:4}",
		"a: {}\nb: []\nc: \"\"\n":       "{1:1 a={1:4} b=[2:4] c=\"\"@3:4}",
		"a: 1\na: 2\n":                  "{1:1 a=1@1:4 a=2@2:4}",
		"é: é\nb: 1 # é\n":              "{1:1 é=é@1:4 b=1@2:4}",
		"a: {b: 4:30, c: [07, 7.50]}\n": "{1:1 a={1:4 b=4:30@1:8 c=[1:17 07@1:18 7.50@1:22]}}",
	} {
		node, problems := yamltext.Parse([]byte(text), "")
		if len(problems) > 0 {
			t.Errorf("%q: %v", text, problems)
			continue
		}
		if got := outline(node); got != want {
			t.Errorf("%q reads as\n%s\nwant\n%s", text, got, want)
		}
	}
}

func TestWindowsLineEndsAndTheMarkAreAllowed(t *testing.T) {
	fsys := fstest.MapFS{"a.yaml": {Data: []byte("\uFEFFa: |\r\n  one\r\nb: 1\r\n")}}
	node, problems := yamltext.Read(fsys, "a.yaml")
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if got, want := outline(node), "{a.yaml"; strings.HasPrefix(got, want) || node.Get("a").Text != "one\n" ||
		node.Get("b").At.Line != 3 {
		t.Errorf("reads as %s", got)
	}
}

// A few kilobytes that unfold to gigabytes elsewhere, and files that are deep or
// large: refused before anything is built.
func TestBombsAreRefused(t *testing.T) {
	laughs := "a: &a [lol, lol]\n"
	for _, c := range "bcdefghij" {
		laughs += string(c) + ": &" + string(c) + " [" + strings.Repeat("*"+string(c-1)+", ", 9) + "*" + string(c-1) +
			"]\n"
	}
	for name, c := range map[string]struct{ text, want string }{
		"laughs": {laughs, `a.yaml:1:4: an anchor (&) is not allowed in a dataset (write the value out where it ` +
			`is needed, or quote the text)`},
		"brackets": {
			strings.Repeat("[", 100_000), `a.yaml:1:17: nested deeper than 16 levels (flatten the document)`,
		},
		"braces": {
			strings.Repeat("{a: ", 50_000), `a.yaml:1:65: nested deeper than 16 levels (flatten the document)`,
		},
		"dashes": {
			strings.Repeat("- ", 100_000), `a.yaml:1:33: nested deeper than 16 levels (flatten the document)`,
		},
		"indentation": {staircase(40), `a.yaml:17:18: nested deeper than 16 levels (flatten the document)`},
		"size": {"# " + strings.Repeat("x", 1<<20),
			`a.yaml: has 1048578 bytes, more than the limit of 262144 (is it the right file?)`},
		"keys": {strings.Repeat("a: 1\n", 20_000),
			`a.yaml:10001:2: the document has more than 10000 keys (is it the right file?)`},
		"tabs":     {"a:\n\t- 1\n", `a.yaml:2:1: a tab is not allowed in a dataset (use spaces)`},
		"control":  {"a: \x07\n", `a.yaml:1:4: a control character is not allowed in a dataset (remove it)`},
		"encoding": {"a: \xe9\n", `a.yaml:1:4: byte 0xe9 is not UTF-8 text (save the file as UTF-8)`},
		"directive": {"%YAML 1.2\n---\na: 1\n",
			`a.yaml:1:1: a directive (%) is not allowed in a dataset (remove the line, or quote the text)`},
		"lone dash": {"a:\n-\nb: 1\n",
			`a.yaml:3:1: it is not clear what this belongs to (write the value after its dash or colon, or indent it)`},
		"unindented": {"a: \"x\ny\"\n",
			`a.yaml:1:4: it is not clear what this belongs to (write the value after its dash or colon, or indent it)`},
		"going on": {"a:\nx\n y\n",
			`a.yaml:2:1: it is not clear what this belongs to (write the value after its dash or colon, or indent it)`},
		"end": {"a: 1\n...\n", `a.yaml:2:1: a document end (...) is not allowed in a dataset (remove the line)`},
	} {
		node, problems := yamltext.Read(fstest.MapFS{"a.yaml": {Data: []byte(c.text)}}, "a.yaml")
		if node != nil || len(problems) == 0 || problems[0].Error() != c.want {
			t.Errorf("%s: told %v, want %s", name, problems[:min(len(problems), 3)], c.want)
		}
	}
}

// staircase nests keys one below the other.
func staircase(steps int) string {
	var out strings.Builder
	for i := range steps {
		out.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return out.String()
}

func TestDeepButAllowed(t *testing.T) {
	text := staircase(plaintext.MaxDepth)
	if _, problems := yamltext.Parse([]byte(text), "a.yaml"); len(problems) > 0 {
		t.Errorf("%d levels: %v", plaintext.MaxDepth, problems)
	}
}

// Whatever the text, parsing ends; what is accepted is shallow and has a twin
// that reads back, and a key can be set in it without harm to the others.
func FuzzParse(f *testing.F) {
	seeds := []string{
		string(yamltext.DatasetTemplate()),
		"date: 2026-05-02\nstart: 09:30\nrecordings:\n  - {file: a.csv, device: \"foot pod\"}\nnotes: |\n  two\n  " +
			"lines\n",
		"a: 1 # c\n\n# d\nb:\n- x\n- y: 'z'\n", "{a: [1, 2], b: {c: }}\n", "? a\n: b\n", "a: &x 1\nb: *x\n<<: *x\n",
		"- - - a\n", "a: \"\\u0041\n  b\"\n", "%YAML 1.2\n---\na\n...\n", "a:\n\tb\n",
	}
	if len(seeds) != 10 {
		f.Fatalf("%d seeds, want 10", len(seeds))
	}
	for _, text := range seeds {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		node, problems := yamltext.Read(fstest.MapFS{"a.yaml": {Data: text}}, "a.yaml")
		if (node == nil) != (len(problems) > 0) {
			t.Fatalf("node %v with problems %v", node, problems)
		}
		if node == nil {
			return
		}
		if depth(node) > plaintext.MaxDepth+1 {
			t.Fatalf("%q is %d deep", text, depth(node))
		}
		twin := node.JSON()
		again, problems := plaintext.ReadJSON(fstest.MapFS{"a.json": {Data: twin}}, "a.yaml")
		if len(problems) > 0 || !bytes.Equal(again.JSON(), twin) {
			t.Fatalf("%q has the twin\n%s\nwhich does not read back: %v", text, twin, problems)
		}
		checkSetKey(t, text, node)
	})
}

func depth(n *plaintext.Node) int {
	deepest := 0
	for _, item := range n.Items {
		deepest = max(deepest, depth(item))
	}
	for _, pair := range n.Pairs {
		deepest = max(deepest, depth(pair.Value))
	}
	return deepest + 1
}

// checkSetKey replaces and appends keys of a block mapping that starts in the
// first column and has no key twice.
func checkSetKey(t *testing.T, text []byte, node *plaintext.Node) {
	if node.Kind != plaintext.Mapping || node.At.Column != 1 || bytes.HasPrefix(bytes.TrimSpace(text), []byte("{")) ||
		bytes.HasPrefix(bytes.TrimSpace(text), []byte("---")) {
		return
	}
	seen := map[string]bool{"new": true}
	for _, pair := range node.Pairs {
		if pair.At.Column != 1 || seen[pair.Key] || pair.Value.Kind == plaintext.Scalar && !pair.Value.Plain {
			return
		}
		seen[pair.Key] = true
	}
	for i := range node.Pairs {
		key := node.Pairs[i].Key
		if !plainWord(key) {
			continue
		}
		expectSet(t, text, node, key)
	}
	expectSet(t, text, node, "new")
}

func plainWord(key string) bool {
	return key != "" && strings.Trim(key, "abcdefghijklmnopqrstuvwxyz_") == ""
}

func expectSet(t *testing.T, text []byte, node *plaintext.Node, key string) {
	changed := yamltext.SetKey(text, key, []byte(key+":\n  - set\n"))
	got, problems := yamltext.Read(fstest.MapFS{"a.yaml": {Data: changed}}, "a.yaml")
	if len(problems) > 0 {
		t.Fatalf("%q with %q set is %q: %v", text, key, changed, problems)
	}
	want := []plaintext.Pair{}
	for _, pair := range node.Pairs {
		if pair.Key != key {
			want = append(want, pair)
		}
	}
	var rest []plaintext.Pair
	for _, pair := range got.Pairs {
		if pair.Key != key {
			rest = append(rest, pair)
		}
	}
	if value := got.Get(key); value == nil || string(value.JSON()) != "[\n  \"set\"\n]\n" ||
		keysAndValues(rest) != keysAndValues(want) {
		t.Fatalf("%q with %q set is %q, which reads as\n%s", text, key, changed, got.JSON())
	}
}

func keysAndValues(pairs []plaintext.Pair) string {
	node := plaintext.Node{Kind: plaintext.Mapping, Pairs: pairs}
	return string(node.JSON())
}
