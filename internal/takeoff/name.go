package takeoff

import (
	"strings"

	"bareframe/internal/measure"
)

// The names of quantities. Those of coats are followed by the coat's key.
const (
	Length        = "length"
	OuterArea     = "outer_area"
	InnerArea     = "inner_area"
	CavityVolume  = "cavity_volume"
	SteelWeight   = "steel_weight"
	EdgeLength    = "edge_length"
	BlastArea     = "blast_area"
	BlastTime     = "blast_time"
	MediaWeight   = "media_weight"
	PatchCount    = "patch_count"
	PatchArea     = "patch_area"
	PatchWeight   = "patch_weight"
	WeldLength    = "weld_length"
	WeldMetal     = "weld_metal"
	WireWeight    = "wire_weight"
	GasVolume     = "gas_volume"
	ArcTime       = "arc_time"
	WeldTime      = "weld_time"
	CoatArea      = "coat_area:"
	CoatVolume    = "coat_volume:"
	ThinnerVolume = "thinner_volume:"
	WetFilm       = "wet_film:"
	CavityCoating = "cavity_coating_volume"
)

// The places of the kinds in Kinds.
const (
	atLength = iota
	atOuterArea
	atInnerArea
	atCavityVolume
	atSteelWeight
	atEdgeLength
	atBlastArea
	atBlastTime
	atMediaWeight
	atPatchCount
	atPatchArea
	atPatchWeight
	atWeldLength
	atWeldMetal
	atWireWeight
	atGasVolume
	atArcTime
	atWeldTime
	atCoats // and what follows: four kinds for each coat, then the cavity coating
)

// Kind is a quantity that a takeoff can yield.
type Kind struct {
	Name string       `json:"name"`
	Unit measure.Unit `json:"unit"`
	Says string       `json:"says"` // what it is, for a screen
	// Sums is false for what has no total over zones, such as a wet film.
	Sums bool `json:"sums"`
}

var kinds = []Kind{
	{Length, measure.Metre, "Length along the steel.", true},
	{OuterArea, measure.SquareMetre, "Outer faces; a plate on both faces and its edges.", true},
	{InnerArea, measure.SquareMetre, "Wall of the cavity of a box or tube; inner side of a channel or hat.", true},
	{CavityVolume, measure.Litre, "Volume enclosed by a box or tube.", true},
	{SteelWeight, measure.Kilogram, "Weight of the steel at 7850 kg/m3.", true},
	{EdgeLength, measure.Metre, "Free edges of open sections and plates, to break and to stripe-coat.", true},
	{BlastArea, measure.SquareMetre, "Surface that a nozzle reaches from outside.", true},
	{BlastTime, measure.Hour, "Time at the nozzle.", true},
	{MediaWeight, measure.Kilogram, "Abrasive used up.", true},
	{PatchCount, measure.Piece, "Patches, measured or expected.", true},
	{PatchArea, measure.SquareMetre, "Sheet in the patches.", true},
	{PatchWeight, measure.Kilogram, "Weight of the patches.", true},
	{WeldLength, measure.Metre, "Weld round the patches.", true},
	{WeldMetal, measure.Kilogram, "Weld metal laid down.", true},
	{WireWeight, measure.Kilogram, "Welding wire.", true},
	{GasVolume, measure.Litre, "Shielding gas.", true},
	{ArcTime, measure.Hour, "Time with the arc on.", true},
	{WeldTime, measure.Hour, "Welding with its pauses, and handling of the patches.", true},
}

var coatKinds = []Kind{
	{CoatArea, measure.SquareMetre, "Surface under the coat.", true},
	{CoatVolume, measure.Litre, "Paint as supplied, before thinning.", true},
	{ThinnerVolume, measure.Litre, "Thinner to add.", true},
	{WetFilm, measure.Micrometre, "Wet film to aim for.", false},
}

var cavityKind = Kind{CavityCoating, measure.Litre, "Cavity coating as supplied.", true}

// Kinds lists what a takeoff with this system can yield, in the order of a result.
// A zone has only those that apply to it; any other counts as 0.
func (s System) Kinds() []Kind {
	out := append([]Kind{}, kinds...)
	for _, c := range s.Coats {
		for _, k := range coatKinds {
			k.Name += c.Key
			k.Says = strings.TrimSuffix(k.Says, ".") + ": " + c.Name + "."
			out = append(out, k)
		}
	}
	return append(out, cavityKind)
}
