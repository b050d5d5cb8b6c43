package dating

import "wornwood/capture/bench"

// TableKeeper has the files of a shop's own tables; a *bench.Bench is one.
type TableKeeper interface{ Tables() []bench.TableFile }

// Load reads the shop's own tables of a bench. A table that cannot be read has
// its reason in Bad and nothing else.
func Load(b TableKeeper) []Table {
	var out []Table
	for _, f := range b.Tables() {
		switch {
		case f.Err != nil:
			out = append(out, Table{File: f.Name, Bad: []BadLine{{f.Name, 0, f.Err.Error()}}})
		case f.Kind == bench.SerialTable:
			out = append(out, ReadSerials(f.Name, f.Data))
		default:
			out = append(out, ReadFeatures(f.Name, f.Data))
		}
	}
	return out
}

// FeaturesFor are the features of the tables that are for an instrument of this
// maker, model or class.
func FeaturesFor(tables []Table, maker, model, class string) []Feature {
	var out []Feature
	for _, t := range tables {
		for _, f := range t.Features {
			if fits(f.For, maker, model, class) {
				out = append(out, f)
			}
		}
	}
	return out
}
