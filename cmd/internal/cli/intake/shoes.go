package intake

import (
	"slices"
	"strings"

	"soletrial/cmd/internal/cli/voice"
	"soletrial/pipeline/english"
	"soletrial/pipeline/plaintext"
	"soletrial/pipeline/trial"
	"soletrial/pipeline/units"
)

// sameMass reports whether two masses are the same where shoes.csv has one decimal.
func sameMass(a, b float64) bool { return units.FormatDecimal(a, 1) == units.FormatDecimal(b, 1) }

// addShoes reads the new shoes and adds them to the register. One that is in it just so is
// none: an import that was interrupted can be called again.
func (in *Import) addShoes() error {
	shoes := slices.Clone(in.folder.Dataset.Shoes)
	for _, text := range in.options.NewShoes {
		shoe, err := ParseShoe("--new-shoe", text)
		if err != nil {
			return err
		}
		at := slices.IndexFunc(shoes, func(s trial.Shoe) bool { return s.ID == shoe.ID })
		if at >= 0 && shoes[at].Label == shoe.Label && sameMass(shoes[at].MassG, shoe.MassG) {
			continue
		}
		if at >= 0 {
			return voice.Usage("omit --new-shoe", "--new-shoe: %q is in shoes.csv already", shoe.ID)
		}
		shoes = append(shoes, shoe)
	}
	shoes = append(shoes, in.shoesOfFolder(shoes)...)
	if len(shoes) > len(in.folder.Dataset.Shoes) {
		in.Files["shoes.csv"] = plaintext.AppendShoes(nil, shoes)
	}
	for _, s := range shoes {
		in.shoes = append(in.shoes, s.ID)
	}
	return nil
}

// ParseShoe reads ID:LABEL:GRAMS, of which label and mass may be left out; the mass
// may be in another unit, such as 7.5oz. The error names the flag.
func ParseShoe(flag, text string) (trial.Shoe, error) {
	m := units.Missing
	shoe := trial.Shoe{MassG: m, SizeEU: m, HeelMm: m, ForefootMm: m, WornKm: m, ExpectedKm: m, Price: m}
	id, rest, _ := strings.Cut(text, ":")
	label, mass, _ := strings.Cut(rest, ":")
	if shoe.ID = strings.TrimSpace(id); !Nameable(shoe.ID) {
		return shoe, voice.Usage("write ID:LABEL:GRAMS, the id in lower-case letters and digits, such as blue:Blue:214",
			"%s: %q cannot be the id of a shoe", flag, shoe.ID)
	}
	if shoe.Label = strings.TrimSpace(label); shoe.Label == "" {
		shoe.Label = shoe.ID
	}
	if mass = strings.TrimSpace(mass); mass != "" {
		grams, err := units.ParseMass(mass)
		if err != nil || grams < 20 || grams > 2000 {
			return shoe, voice.Usage("write the mass of one shoe, such as 214 or 7.5oz",
				"%s: %q is not the mass of a shoe", flag, mass)
		}
		shoe.MassG = units.Round(grams, 1)
	}
	return shoe, nil
}

// checkShoes refuses shoes that are not in the register.
func (in *Import) checkShoes(sources []source) error {
	var named []string
	for _, s := range sources {
		if s.shoe != "" {
			named = append(named, s.shoe)
		}
	}
	for _, shoe := range append(named, in.options.Shoes...) {
		if slices.Contains(in.shoes, shoe) {
			continue
		}
		hint := "add it with --new-shoe " + shoe + ":LABEL:GRAMS"
		if near := english.Suggest(shoe, in.shoes); near != "" {
			hint = near + " or " + hint
		}
		return voice.Usage(hint, "shoe %q is not in shoes.csv", shoe)
	}
	return nil
}

// assignShoes writes the shoe of every block as far as it is known: from --shoes, from
// the files that were named with a shoe, or from a plan that matches.
func (in *Import) assignShoes(blocks []trial.Block) error {
	if shoes := in.options.Shoes; len(shoes) > 0 {
		var counted []int
		for i := range blocks {
			if !blocks[i].Excluded {
				counted = append(counted, i)
			}
		}
		if len(shoes) != len(counted) {
			return countFailure(len(shoes), len(counted))
		}
		for i, k := range counted {
			blocks[k].Shoe = shoes[i]
		}
		return nil
	}
	if in.assignShoesByFile(blocks) {
		return nil
	}
	unknown := slices.ContainsFunc(blocks, func(b trial.Block) bool { return b.Shoe == "" })
	if in.Session.Plan != nil && len(blocks) > 0 && unknown {
		in.matchPlan(in.Session.Plan, blocks)
	}
	return nil
}

// assignShoesByFile gives a block the shoe of the file that covers its middle, and reports
// whether any file was named with a shoe.
func (in *Import) assignShoesByFile(blocks []trial.Block) (named bool) {
	for _, p := range in.placed {
		offset := (&trial.Recording{Fact: p.fact}).Offset()
		for _, f := range p.files {
			if f.shoe == "" {
				continue
			}
			named = true
			from, to := f.span(p.read, offset)
			for i := range blocks {
				if middle := (blocks[i].Start + blocks[i].End) / 2; middle >= from && middle <= to {
					blocks[i].Shoe = f.shoe
				}
			}
		}
	}
	return named
}
