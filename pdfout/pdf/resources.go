package pdf

import (
	"fmt"
)

// splitResources gives each page a dictionary of the resources it uses. The
// drawing library shares one dictionary among all pages, which would make
// every picture a part of every page.
func (d *document) splitResources() error {
	for i := range d.pages {
		p := &d.pages[i]
		s, ok := d.resolve(p.dict["Contents"]).(*Stream)
		if !ok {
			return malformed(0, "page %d has no drawing commands", i+1)
		}
		data, err := s.Decode(Limits{}.withDefaults().Decoded)
		if err != nil {
			return fmt.Errorf("page %d: %w", i+1, err)
		}
		if p.content, err = readContent(data); err != nil {
			return fmt.Errorf("page %d: %w", i+1, err)
		}
		res, err := d.pageResources(p)
		if err != nil {
			return fmt.Errorf("page %d: %w", i+1, err)
		}
		p.dict["Resources"] = res
	}
	return nil
}

func (d *document) pageResources(p *page) (Dict, error) {
	shared := d.dict(p.dict["Resources"])
	res := Dict{}
	for category, names := range p.content.names {
		have := d.dict(shared[category])
		mine := Dict{}
		for n := range names {
			o, ok := have[n]
			if !ok {
				if builtInSpace(category, n) {
					continue
				}
				return nil, malformed(0, "it uses /%s, which is not among its resources", string(n))
			}
			mine[n] = o
			if category == "Font" {
				if err := d.noteFont(o, p.content.shown[n]); err != nil {
					return nil, err
				}
			}
		}
		if len(mine) > 0 {
			res[category] = mine
		}
	}
	return res, nil
}

func builtInSpace(category, n Name) bool {
	return category == "ColorSpace" && (n == "DeviceRGB" || n == "DeviceGray" || n == "Pattern")
}

// mendGraphicsStates checks the colours and, in the probe, removes
// transparency.
func (d *document) mendGraphicsStates() error {
	for i := range d.pages {
		p := &d.pages[i]
		if d.opt.Probe {
			delete(p.dict, "Group")
		}
		res := p.dict["Resources"].(Dict)
		for _, o := range d.dict(res["ExtGState"]) {
			gs := d.dict(o)
			if gs != nil && d.opt.Probe {
				gs["ca"], gs["CA"], gs["BM"] = int64(1), int64(1), Name("Normal")
			}
		}
	}
	return nil
}
