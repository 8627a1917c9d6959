package takeoff

// System is how a shop blasts, welds and coats: all of it data that the shop
// edits. Numbers are plain decimal text. Sources says of each figure, by its name,
// where it came from.
type System struct {
	Note     string   `json:"note,omitempty"`
	Blasting Blasting `json:"blasting"`
	Welding  Welding  `json:"welding"`
	Coats    []Coat   `json:"coats"`
	Cavity   Cavity   `json:"cavity"`
	// ReplacePercent is the share of a section's steel that the shop expects to
	// replace, by condition; a condition that is not named has 0.
	ReplacePercent map[Condition]string `json:"replace_percent"`
	// Pitted lists the conditions whose steel swallows paint as old pitted steel does.
	Pitted  []Condition       `json:"pitted"`
	BrimMM  string            `json:"brim_mm"` // of a hat whose brim nobody measured
	Sources map[string]string `json:"sources,omitempty"`
}

// Blasting is a nozzle at a pressure, and what a frame does to its rate.
type Blasting struct {
	Note   string `json:"note,omitempty"`
	Nozzle string `json:"nozzle,omitempty"` // in words, such as "1/4 in at 100 psi"
	Media  string `json:"media,omitempty"`
	// FlatRateM2H is the rate on flat plate. MediaKGM2 is what a square metre of it
	// takes instead, from which the rate follows. Exactly one is given.
	FlatRateM2H string `json:"flat_rate_m2_h,omitempty"`
	MediaKGM2   string `json:"media_kg_m2,omitempty"`
	MediaKGH    string `json:"media_kg_h"`   // that leave the nozzle
	MediaUses   string `json:"media_uses"`   // how often a kilogram is thrown
	FrameFactor string `json:"frame_factor"` // of the flat rate; common practice 0.25 to 0.40
	// ConditionFactors multiply the time; a condition that is not named has 1.
	ConditionFactors map[Condition]string `json:"condition_factors"`
	Sources          map[string]string    `json:"sources,omitempty"`
}

// Welding is how patches are let in.
type Welding struct {
	Note  string `json:"note,omitempty"`
	Joint Joint  `json:"joint"`
	LegMM string `json:"leg_mm,omitempty"` // of a fillet
	// GapMM and BuildUpPercent are of a butt weld: thickness x gap, and what stands
	// proud of it in percent of that.
	GapMM             string `json:"gap_mm,omitempty"`
	BuildUpPercent    string `json:"build_up_percent,omitempty"`
	WireMM            string `json:"wire_mm,omitempty"` // shown, not reckoned with
	WireMKG           string `json:"wire_m_kg"`         // metres of wire in a kilogram
	FeedMMin          string `json:"feed_m_min"`        // wire feed
	EfficiencyPercent string `json:"efficiency_percent"`
	ArcOnPercent      string `json:"arc_on_percent"`
	GasLMin           string `json:"gas_l_min"`
	HandlingH         string `json:"handling_h"` // to cut, fit and dress one patch
	// MarginMM is how far beyond the measured hole steel is cut back on each side.
	MarginMM string `json:"margin_mm"`
	// PatchLengthMM and PatchWidthMM are a usual patch: what is expected by share is
	// counted in patches of this size.
	PatchLengthMM string            `json:"patch_length_mm"`
	PatchWidthMM  string            `json:"patch_width_mm"`
	Sources       map[string]string `json:"sources,omitempty"`
}

// Joint is how a patch meets the steel around it.
type Joint string

// The joints: a lapped patch with a fillet round it, or one let in flush.
const (
	Fillet Joint = "fillet"
	Butt   Joint = "butt"
)

// Joints lists the joints.
func Joints() []Joint { return []Joint{Fillet, Butt} }

// Coat is one coat of the system, in the order in which they are applied.
type Coat struct {
	Key            string `json:"key"`
	Name           string `json:"name"`
	Note           string `json:"note,omitempty"`
	Where          Where  `json:"where"`
	BandMM         string `json:"band_mm,omitempty"` // width along a weld, both faces together
	SolidsPercent  string `json:"solids_percent"`
	ThinnerPercent string `json:"thinner_percent,omitempty"`
	DryFilmUM      string `json:"dry_film_um"`
	LossPercent    string `json:"loss_percent,omitempty"`
	// OnBlasted says that it lies on blasted steel, whose profile then swallows paint.
	OnBlasted bool              `json:"on_blasted,omitempty"`
	ProfileUM string            `json:"profile_um,omitempty"`
	Sources   map[string]string `json:"sources,omitempty"`
}

// Where is the surface that a coat covers.
type Where string

// The surfaces. Outside is all that a gun reaches from outside, which takes in the
// inner side of channels and hats; Inside is the wall of a closed cavity; OnWelds
// is a band along the welds of patches.
const (
	Outside Where = "outside"
	Inside  Where = "inside"
	Both    Where = "both"
	OnWelds Where = "welds"
)

// Wheres lists the surfaces.
func Wheres() []Where { return []Where{Outside, Inside, Both, OnWelds} }

// Cavity is what is sprayed or poured into closed sections at the end.
type Cavity struct {
	Note          string            `json:"note,omitempty"`
	Name          string            `json:"name,omitempty"`
	FilmUM        string            `json:"film_um"` // dry
	SolidsPercent string            `json:"solids_percent"`
	LossPercent   string            `json:"loss_percent,omitempty"`
	Sources       map[string]string `json:"sources,omitempty"`
}
