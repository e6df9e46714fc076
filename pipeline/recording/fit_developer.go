package recording

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"

	"soletrial/pipeline/stable"
	"soletrial/pipeline/trial"
)

// description is what a field_description message says about a developer field.
type description struct {
	index, num    byte
	base          basetype.BaseType
	name, units   string
	linked        bool // claims to stand for a field of the record message
	native        byte // that field
	scale, offset float64
}

// describe keeps the description of a developer field. The first one counts
// when there are several, as in the decoder.
func (m *messages) describe(message *proto.Message) {
	f := mesgdef.NewFieldDescription(message)
	if m.description(f.DeveloperDataIndex, f.FieldDefinitionNumber) >= 0 {
		return
	}
	d := description{
		index: f.DeveloperDataIndex, num: f.FieldDefinitionNumber, base: f.FitBaseTypeId,
		name: strings.TrimSpace(strings.Join(f.FieldName, " ")), units: strings.TrimSpace(strings.Join(f.Units, " ")),
		// Only a link to the record message is a link to a field of a record.
		linked: f.NativeMesgNum == mesgnum.Record && f.NativeFieldNum != basetype.Uint8Invalid,
		native: f.NativeFieldNum, scale: 1,
	}
	if f.Scale != 0 && f.Scale != basetype.Uint8Invalid {
		d.scale = float64(f.Scale)
	}
	if f.Offset != basetype.Sint8Invalid {
		d.offset = float64(f.Offset)
	}
	m.described = append(m.described, d)
	m.developer = append(m.developer, nil)
}

// OnMesgDef notes which developer fields the records have.
func (m *messages) OnMesgDef(d proto.MessageDefinition) {
	for _, f := range d.DeveloperFieldDefinitions {
		key := [2]byte{f.DeveloperDataIndex, f.Num}
		if d.MesgNum == mesgnum.Record && !slices.Contains(m.used, key) {
			m.used = append(m.used, key)
		}
	}
}

// undescribed counts the developer fields of records that nothing describes.
func (m *messages) undescribed() int {
	n := 0
	for _, key := range m.used {
		if m.description(key[0], key[1]) < 0 {
			n++
		}
	}
	return n
}

func (m *messages) description(index, num byte) int {
	return slices.IndexFunc(m.described, func(d description) bool { return d.index == index && d.num == num })
}

func (m *messages) addDeveloper(i int, f *proto.DeveloperField) {
	at := m.description(f.DeveloperDataIndex, f.Num)
	if at < 0 {
		return // the decoder only hands over described fields
	}
	d := &m.described[at]
	if v := number(f.Value, d.base); v == v {
		m.developer[at].set(i, v/d.scale-d.offset)
	}
}

// developerColumns gives the developer fields by channel, the most trustworthy
// first; those that belong to none come last, under trial.ChannelCount.
func (m *messages) developerColumns(p part) (found [trial.ChannelCount + 1][]column) {
	order := make([]int, len(m.described))
	for i := range order {
		order[i] = i
	}
	stable.Sort(order,
		func(a, b int) int { return cmp.Compare(m.described[b].trust(), m.described[a].trust()) })
	for _, i := range order {
		values := m.developer[i].between(p.lo, p.hi)
		if count(values) == 0 {
			continue
		}
		d := &m.described[i]
		c, u, ok := d.channel()
		if !ok {
			c = trial.ChannelCount
		}
		found[c] = append(found[c], column{channel: c, unit: u, values: values, from: d.label()})
	}
	return found
}

// label names the field for people.
func (d *description) label() string {
	if d.units == "" {
		return fmt.Sprintf("developer field %q", d.name)
	}
	return fmt.Sprintf("developer field %q (%s)", d.name, d.units)
}

// trust is 2 when name and link agree, 1 when there is only a name, else 0.
func (d *description) trust() int {
	byName, named := channelCalled(d.name)
	byLink, linked := d.linkedChannel()
	switch {
	case named && linked && byName == byLink:
		return 2
	case named:
		return 1
	}
	return 0
}

// channel says which channel the field holds and in which unit (nil when it
// does not say). The name counts before the link, because links are often
// wrong; a unit that the channel cannot have disqualifies the field. Without a
// unit, a linked field is in the unit of the field that it stands for.
func (d *description) channel() (trial.Channel, *unit, bool) {
	c, ok := channelCalled(d.name)
	linked, isLinked := d.linkedChannel()
	if !ok {
		c, ok = linked, isLinked
	}
	if !ok {
		return 0, nil, false
	}
	if d.units != "" {
		u := unitNamed(c, d.units)
		return c, u, u != nil && u.refuse == ""
	}
	if isLinked && linked == c {
		return c, unitNamed(c, channelFields[c].unit), true
	}
	return c, nil, true
}

// linkedChannel returns the channel of the record field that the developer field
// claims to stand for.
func (d *description) linkedChannel() (trial.Channel, bool) {
	if !d.linked {
		return 0, false
	}
	for c := range trial.ChannelCount {
		for _, f := range channelFields[c].fields {
			if f.num == d.native && d.native != fieldnum.Invalid {
				return c, true
			}
		}
	}
	return 0, false
}
