package takeoff

// Cautions that belong beside figures. An aid to estimating judges nothing.
var (
	weldCaution = Caution{"weld", "Weld quantities are an aid to estimating, not an inspection and not a welding procedure: whether a frame may be repaired, how, and by whom is for a qualified person to decide and sign. Local codes come first."}
	coatCaution = Caution{"coating", "Coat quantities are an aid to estimating, not an inspection: film, thinning, recoat times, mixing and breathing protection are as the product data sheet says, which comes before every figure here."}
	dustCaution = Caution{"blasting", "Blast quantities assume a shop's own nozzle and pressure. Dust can hold silica, lead and old coatings: supplied air, extraction and media free of silica. Local codes come first."}
)

func cautionsFor(r Result) []Caution {
	out := []Caution{}
	if _, ok := r.Total(BlastArea); ok {
		out = append(out, dustCaution)
	}
	if _, ok := r.Total(WeldLength); ok {
		out = append(out, weldCaution)
	}
	for _, q := range r.Totals {
		if len(q.Name) > len(CoatVolume) && q.Name[:len(CoatVolume)] == CoatVolume || q.Name == CavityCoating {
			return append(out, coatCaution)
		}
	}
	return out
}
