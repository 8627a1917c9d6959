package takeoff

import (
	"encoding/json"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/fault"
)

func TestRefusals(t *testing.T) {
	for _, r := range []struct {
		name, pointer string
		spoil         func(*Input)
	}{
		{"box thicker than half its width", "/zones/0/thickness_mm", func(in *Input) { in.Zones[0].ThicknessMM = "35" }},
		{"box thicker than half its height", "/zones/0/thickness_mm", func(in *Input) {
			in.Zones[0].WidthMM, in.Zones[0].HeightMM, in.Zones[0].ThicknessMM = "100", "20", "10"
		}},
		{"channel thicker than half its web", "/zones/1/thickness_mm", func(in *Input) { in.Zones[1].ThicknessMM = "45" }},
		{"channel as thick as its flange", "/zones/1/thickness_mm", func(in *Input) { in.Zones[1].WidthMM = "3" }},
		{"hat as thick as it is high", "/zones/0/thickness_mm", func(in *Input) { in.Zones[0].Shape, in.Zones[0].HeightMM = Hat, "3" }},
		{"tube thicker than half its diameter", "/zones/0/thickness_mm", func(in *Input) {
			in.Zones[0] = Zone{ID: "t", Shape: Tube, WidthMM: "6", ThicknessMM: "3", LengthMM: "10"}
		}},
		{"tube that is not round", "/zones/0/height_mm", func(in *Input) { in.Zones[0].Shape = Tube }},
		{"plate with a height", "/zones/0/height_mm", func(in *Input) { in.Zones[0].Shape = Plate }},
		{"plate thicker than wide", "/zones/0/thickness_mm", func(in *Input) {
			in.Zones[0] = Zone{ID: "p", Shape: Plate, WidthMM: "4", ThicknessMM: "5", LengthMM: "10"}
		}},
		{"no thickness", "/zones/0/thickness_mm", func(in *Input) { in.Zones[0].ThicknessMM = "" }},
		{"no length", "/zones/0/length_mm", func(in *Input) { in.Zones[0].LengthMM = "0" }},
		{"a length of light years", "/zones/0/length_mm", func(in *Input) { in.Zones[0].LengthMM = "20000.1" }},
		{"negative", "/zones/0/width_mm", func(in *Input) { in.Zones[0].WidthMM = "-70" }},
		{"not a number", "/zones/0/width_mm", func(in *Input) { in.Zones[0].WidthMM = "NaN" }},
		{"an exponent", "/zones/0/width_mm", func(in *Input) { in.Zones[0].WidthMM = "7e1" }},
		{"unknown shape", "/zones/0/shape", func(in *Input) { in.Zones[0].Shape = "sphere" }},
		{"unknown condition", "/zones/0/condition", func(in *Input) { in.Zones[0].Condition = "bad" }},
		{"a brim on a box", "/zones/0/brim_mm", func(in *Input) { in.Zones[0].BrimMM = "10" }},
		{"a given area on a box", "/zones/0/area_m2", func(in *Input) { in.Zones[0].AreaM2 = "1" }},
		{"no pieces below none", "/zones/0/count", func(in *Input) { in.Zones[0].Count = -1 }},
		{"a hole without a width", "/zones/1/hole/width_mm", func(in *Input) { in.Zones[1].Hole.WidthMM = "" }},
		{"two zones of one id", "/zones/1/id", func(in *Input) { in.Zones[1].ID = in.Zones[0].ID }},
		{"too many zones", "/zones", func(in *Input) { in.Zones = make([]Zone, MaxZones+1) }},
		{"solids over 100", "/system/coats/0/solids_percent", func(in *Input) { in.System.Coats[0].SolidsPercent = "100.1" }},
		{"no solids", "/system/coats/0/solids_percent", func(in *Input) { in.System.Coats[0].SolidsPercent = "0" }},
		{"a loss of 100", "/system/coats/0/loss_percent", func(in *Input) { in.System.Coats[0].LossPercent = "100" }},
		{"a cavity loss of 100", "/system/cavity/loss_percent", func(in *Input) { in.System.Cavity.LossPercent = "100" }},
		{"a coat nowhere", "/system/coats/0/where", func(in *Input) { in.System.Coats[0].Where = "above" }},
		{"a coat on welds without a band", "/system/coats/0/band_mm", func(in *Input) { in.System.Coats[0].Where = OnWelds }},
		{"two coats of one key", "/system/coats/1/key", func(in *Input) { in.System.Coats[1].Key = "primer" }},
		{"a key with a colon", "/system/coats/1/key", func(in *Input) { in.System.Coats[1].Key = "top:coat" }},
		{"a profile deeper than the table", "/system/coats/0/profile_um", func(in *Input) { in.System.Coats[0].ProfileUM = "151" }},
		{"no dry film", "/system/coats/0/dry_film_um", func(in *Input) { in.System.Coats[0].DryFilmUM = "" }},
		{"two ways to the rate", "/system/blasting/flat_rate_m2_h", func(in *Input) { in.System.Blasting.MediaKGM2 = "20" }},
		{"no way to the rate", "/system/blasting/flat_rate_m2_h", func(in *Input) { in.System.Blasting.FlatRateM2H = "" }},
		{"a factor of nothing", "/system/blasting/condition_factors/c", func(in *Input) { in.System.Blasting.ConditionFactors[GradeC] = "0" }},
		{"a factor for nothing", "/system/blasting/condition_factors/x", func(in *Input) { in.System.Blasting.ConditionFactors["x"] = "1" }},
		{"unknown joint", "/system/welding/joint", func(in *Input) { in.System.Welding.Joint = "rivet" }},
		{"a fillet without a leg", "/system/welding/leg_mm", func(in *Input) { in.System.Welding.Joint = Fillet }},
		{"a butt without a gap", "/system/welding/gap_mm", func(in *Input) { in.System.Welding.GapMM = "" }},
		{"an arc that is never on", "/system/welding/arc_on_percent", func(in *Input) { in.System.Welding.ArcOnPercent = "0" }},
		{"more than all of it replaced", "/system/replace_percent/d", func(in *Input) { in.System.ReplacePercent[GradeD] = "101" }},
		{"a pack of what there is not", "/packs/0/of", func(in *Input) { in.Packs[0].Of = "gold" }},
		{"a pack of what has no total", "/packs/0/of", func(in *Input) { in.Packs[0].Of = WetFilm + "primer" }},
		{"a pack in an unlike unit", "/packs/0/unit", func(in *Input) { in.Packs[0].Unit = "kg" }},
		{"a pack in an unknown unit", "/packs/0/unit", func(in *Input) { in.Packs[0].Unit = "bucket" }},
		{"a pack without sizes", "/packs/0/sizes", func(in *Input) { in.Packs[0].Sizes = nil }},
		{"a size of nothing", "/packs/0/sizes/0/size", func(in *Input) { in.Packs[0].Sizes[0].Size = "0" }},
		{"a size finer than a millilitre", "/packs/0/sizes/0/size", func(in *Input) { in.Packs[0].Sizes[0].Size = "0.0001" }},
		{"a size without a price", "/packs/0/sizes/0/price", func(in *Input) { in.Packs[0].Sizes[0].Price = "" }},
	} {
		in := Example()
		r.spoil(&in)
		_, err := Compute(in)
		e := fault.As(err)
		if e == nil || e.Kind != fault.Invalid || e.Code != "takeoff-input" ||
			!slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == r.pointer && f.Detail != "" }) {
			t.Errorf("%s: got %v, want a fault at %s", r.name, err, r.pointer)
		}
	}
}

// Whatever stands in the fields, the answer is a result or a refusal that points
// somewhere, and it never comes to less than nothing.
func TestAnyTextIsReadOrRefused(t *testing.T) {
	texts := rapid.OneOf(rapid.SampledFrom([]string{"", "0", "1", "3", "0.000001", "9999999.999999", "20000", "100", "-1", "1e9", "NaN", "Inf", "0x1", " 3", "3,5", "00000003", "٣"}), rapid.StringN(0, 6, 12))
	rapid.Check(t, func(t *rapid.T) {
		in := Example()
		z, w, c := &in.Zones[0], &in.System.Welding, &in.System.Coats[0]
		fields := []*string{&z.WidthMM, &z.HeightMM, &z.ThicknessMM, &z.LengthMM, &z.BrimMM, &z.AreaM2, &w.FeedMMin, &w.WireMKG, &w.EfficiencyPercent, &w.HandlingH, &w.PatchLengthMM,
			&c.SolidsPercent, &c.DryFilmUM, &c.LossPercent, &c.ProfileUM, &in.System.Blasting.FlatRateM2H, &in.System.Blasting.MediaUses, &in.System.Cavity.FilmUM, &in.Packs[0].Sizes[0].Size, &in.Packs[0].Sizes[1].Price}
		for range rapid.IntRange(1, 4).Draw(t, "fields") {
			*fields[rapid.IntRange(0, len(fields)-1).Draw(t, "field")] = texts.Draw(t, "text")
		}
		z.Shape = Shape(rapid.SampledFrom([]string{"box", "channel", "hat", "tube", "plate", "none", "", "ball"}).Draw(t, "shape"))
		out, err := Compute(in)
		if err != nil {
			if e := fault.As(err); e == nil || e.Kind != fault.Invalid || len(e.Fields) == 0 {
				t.Fatalf("got %v, want a refusal with a field", err)
			}
			return
		}
		for _, q := range out.Totals {
			if q.Value.Sign() <= 0 {
				t.Fatalf("%s comes to %s", q.Name, q.Value)
			}
		}
		if _, err := json.Marshal(out); err != nil {
			t.Fatal(err)
		}
	})
}

// One answer names all that is wrong.
func TestAllFaultsAtOnce(t *testing.T) {
	in := Example()
	in.Zones[0].Shape, in.System.Coats[0].SolidsPercent, in.Packs[0].Of = "sphere", "-1", "gold"
	_, err := Compute(in)
	if e := fault.As(err); e == nil || len(e.Fields) != 3 {
		t.Errorf("got %v, want three fields", err)
	}
}

func TestParse(t *testing.T) {
	for _, text := range []string{"", "{", `{"surprise":1}`, `{} {}`, `{}`} {
		if _, err := Parse([]byte(text)); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%q: %v", text, err)
		}
	}
}
