package picture

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"flag"
	"math/bits"
	"os"
	"slices"
	"testing"

	"github.com/go-fonts/dejavu/dejavusans"
	"github.com/go-fonts/dejavu/dejavusansbold"
)

var update = flag.Bool("update", false, "write the compressed fonts anew")

// The fonts inside are those of the module that DEPENDENCIES.md names, without what no picture
// is drawn from: see [withoutHints].
func TestFontsAreThoseOfTheModule(t *testing.T) {
	for w, original := range [][]byte{regular: dejavusans.TTF, bold: dejavusansbold.TTF} {
		want := withoutHints(original)
		if *update {
			if err := os.WriteFile(fontNames[w], packedFont(t, want), 0o644); err != nil {
				t.Fatal(err)
			}
			continue // what is embedded is still the old file
		}
		got, err := unpackFont(weight(w))
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s holds %d bytes, of the module %d remain, and they differ (%v): run this with -update",
				fontNames[w], len(got), len(want), err)
		}
	}
}

// fontTable is a table of a TrueType file.
type fontTable struct {
	tag  string
	text []byte
}

// withoutHints is a TrueType file without the programs that fit outlines to the pixels of small
// screens, and without the names of glyphs: a sixth of it. Outlines, widths and shaping stay as
// they are. The forms of the tables are those of OpenType 1.9 (ISO/IEC 14496-22), as remembered.
func withoutHints(ttf []byte) []byte {
	u16, u32 := binary.BigEndian.Uint16, binary.BigEndian.Uint32
	var tables []fontTable
	find := func(tag string) *fontTable {
		return &tables[slices.IndexFunc(tables, func(t fontTable) bool { return t.tag == tag })]
	}
	for i := range int(u16(ttf[4:])) {
		entry := ttf[12+16*i:]
		if tag := string(entry[:4]); !slices.Contains([]string{"cvt ", "fpgm", "prep", "gasp"}, tag) {
			tables = append(tables, fontTable{tag, slices.Clone(ttf[u32(entry[8:]):][:u32(entry[12:])])})
		}
	}
	// Glyphs: those of one piece lose their instructions; those made of others keep what they have.
	glyf, loca, long := find("glyf"), find("loca"), u16(find("head").text[50:]) == 1
	var glyphs, places []byte
	at := func(i int) int {
		if long {
			return int(u32(loca.text[4*i:]))
		}
		return 2 * int(u16(loca.text[2*i:]))
	}
	for i := range int(u16(find("maxp").text[4:])) + 1 {
		if long {
			places = binary.BigEndian.AppendUint32(places, uint32(len(glyphs)))
		} else {
			places = binary.BigEndian.AppendUint16(places, uint16(len(glyphs)/2))
		}
		if i == int(u16(find("maxp").text[4:])) || at(i) == at(i+1) {
			continue
		}
		g := glyf.text[at(i):at(i+1)]
		if contours := int(int16(u16(g))); contours >= 0 {
			end := 10 + 2*contours
			g = slices.Concat(g[:end], []byte{0, 0}, g[end+2+int(u16(g[end:])):])
		}
		glyphs = append(glyphs, g...)
		glyphs = append(glyphs, make([]byte, -len(glyphs)&3)...)
	}
	glyf.text, loca.text = glyphs, places
	// Version 3 of post has no names.
	post := find("post")
	post.text = post.text[:32]
	binary.BigEndian.PutUint32(post.text, 0x00030000)
	return fontFile(ttf[:4], tables)
}

// fontFile puts a TrueType file together, with the checksums that it asks for.
func fontFile(kind []byte, tables []fontTable) []byte {
	sum := func(text []byte) (sum uint32) {
		for text = append(slices.Clone(text), 0, 0, 0); len(text) >= 4; text = text[4:] {
			sum += binary.BigEndian.Uint32(text)
		}
		return sum
	}
	// The directory, as for a binary search.
	power := 1
	for 2*power <= len(tables) {
		power *= 2
	}
	out := slices.Clone(kind)
	for _, v := range []int{len(tables), 16 * power, bits.Len(uint(power)) - 1, 16 * (len(tables) - power)} {
		out = binary.BigEndian.AppendUint16(out, uint16(v))
	}
	place := 12 + 16*len(tables)
	for _, t := range tables {
		if t.tag == "head" {
			clear(t.text[8:12])
		}
		out = append(out, t.tag...)
		for _, v := range []uint32{sum(t.text), uint32(place), uint32(len(t.text))} {
			out = binary.BigEndian.AppendUint32(out, v)
		}
		place += (len(t.text) + 3) &^ 3
	}
	head := 0
	for _, t := range tables {
		if t.tag == "head" {
			head = len(out)
		}
		out = append(out, t.text...)
		out = append(out, make([]byte, -len(out)&3)...)
	}
	binary.BigEndian.PutUint32(out[head+8:], 0xB1B0AFBA-sum(out))
	return out
}

// packedFont is a font in as few bytes as gzip makes of it.
func packedFont(t *testing.T, ttf []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Write(ttf); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
