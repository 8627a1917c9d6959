package takeoff

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/coating"
	"bareframe/internal/fault"
)

// setup is a system that was read.
type setup struct {
	blast   blasting
	weld    welding
	coats   []coat
	cavity  paint
	replace map[Condition]float64
	pitted  []Condition
	brim    float64
	kinds   []Kind
}

type blasting struct {
	flat                        float64 // m2/h on flat plate
	howFlat                     how
	mediaKGH, uses, frameFactor float64
	factors                     map[Condition]float64
}

type welding struct {
	joint                                 Joint
	leg, gap, buildUp                     float64
	wireMKG, feed, efficiency, arcOn, gas float64
	handling, margin, patchL, patchW      float64
}

type coat struct {
	key       string
	where     Where
	band      float64
	thinner   float64
	onBlasted bool
	sound     paint // on sound steel
	pitted    paint // on old pitted steel
}

// Parse reads a system from JSON and validates it. Unknown members are refused.
// Errors are fault.Invalid "takeoff-input".
func Parse(text []byte) (System, error) {
	var s System
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		return System{}, fault.New(fault.Invalid, code, "this is not a setup for takeoffs: %s", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return System{}, fault.New(fault.Invalid, code, "there is text after the setup for takeoffs")
	}
	return s, s.Validate()
}

// Validate names everything that is wrong with s at once, as a fault.Invalid
// "takeoff-input" with a pointer into the system for each. O(size of s).
func (s System) Validate() error {
	var r reader
	r.system("", s)
	return r.faults.Err(code)
}

func (r *reader) system(at string, in System) *setup {
	r.text(at, "/note", in.Note)
	r.sources(at, in.Sources)
	out := &setup{blast: r.blasting(at+"/blasting", in.Blasting), weld: r.welding(at+"/welding", in.Welding),
		cavity: r.cavity(at+"/cavity", in.Cavity), pitted: in.Pitted, kinds: in.Kinds()}
	out.brim = r.number(at, "/brim_mm", in.BrimMM, MaxMillimetre)
	out.replace = r.byCondition(at+"/replace_percent", in.ReplacePercent, 100)
	if !tooMany(r, at+"/pitted", len(in.Pitted), len(Conditions())) {
		for i, c := range in.Pitted {
			oneOf(r, within(at+"/pitted", i), "", c, Conditions())
		}
	}
	out.coats = r.coats(at+"/coats", in.Coats)
	return out
}

func (r *reader) byCondition(at string, in map[Condition]string, most int64) map[Condition]float64 {
	out := make(map[Condition]float64, len(in))
	for _, c := range slices.Sorted(maps.Keys(in)) {
		if oneOf(r, at, "/"+string(c), c, Conditions()) {
			out[c] = r.number(at, "/"+string(c), in[c], most)
		}
	}
	return out
}

func (r *reader) blasting(at string, in Blasting) blasting {
	r.text(at, "/note", in.Note)
	r.text(at, "/nozzle", in.Nozzle)
	r.text(at, "/media", in.Media)
	r.sources(at, in.Sources)
	out := blasting{
		mediaKGH:    r.number(at, "/media_kg_h", in.MediaKGH, 10_000),
		uses:        r.needed(at, "/media_uses", in.MediaUses, 1000),
		frameFactor: r.needed(at, "/frame_factor", in.FrameFactor, 10),
		factors:     r.byCondition(at+"/condition_factors", in.ConditionFactors, 100),
	}
	out.flat, out.howFlat = r.flatRate(at, in, out.mediaKGH)
	for _, c := range slices.Sorted(maps.Keys(out.factors)) {
		if out.factors[c] == 0 {
			r.add(at+"/condition_factors/"+string(c), "a factor above 0 is needed")
		}
	}
	return out
}

// flatRate is given, or follows from what leaves the nozzle and what a square metre
// takes.
func (r *reader) flatRate(at string, in Blasting, mediaKGH float64) (float64, how) {
	switch {
	case (in.FlatRateM2H == "") == (in.MediaKGM2 == ""):
		r.add(at+"/flat_rate_m2_h", "give the rate on flat plate or the media that a square metre takes, and not both")
		return 1, how{}
	case in.MediaKGM2 == "":
		rate := r.needed(at, "/flat_rate_m2_h", in.FlatRateM2H, 1000)
		return rate, by("The shop's rate.", "{} m2/h", rate)
	case mediaKGH == 0:
		r.add(at+"/media_kg_h", "what leaves the nozzle is needed to go from media to a rate")
		return 1, how{}
	}
	perM2 := r.needed(at, "/media_kg_m2", in.MediaKGM2, 1000)
	return mediaKGH / perM2, by("What leaves the nozzle over what flat plate takes.", "{} kg/h / {} kg/m2", mediaKGH, perM2)
}

func (r *reader) welding(at string, in Welding) welding {
	r.text(at, "/note", in.Note)
	r.sources(at, in.Sources)
	oneOf(r, at, "/joint", in.Joint, Joints())
	r.number(at, "/wire_mm", in.WireMM, 10)
	out := welding{
		joint:      in.Joint,
		leg:        r.number(at, "/leg_mm", in.LegMM, MaxThickness),
		gap:        r.number(at, "/gap_mm", in.GapMM, MaxThickness),
		buildUp:    r.number(at, "/build_up_percent", in.BuildUpPercent, 1000),
		wireMKG:    r.needed(at, "/wire_m_kg", in.WireMKG, 10_000),
		feed:       r.needed(at, "/feed_m_min", in.FeedMMin, 100),
		efficiency: r.percent(at, "/efficiency_percent", in.EfficiencyPercent),
		arcOn:      r.percent(at, "/arc_on_percent", in.ArcOnPercent),
		gas:        r.number(at, "/gas_l_min", in.GasLMin, 100),
		handling:   r.number(at, "/handling_h", in.HandlingH, 1000),
		margin:     r.number(at, "/margin_mm", in.MarginMM, 1000),
		patchL:     r.needed(at, "/patch_length_mm", in.PatchLengthMM, MaxMillimetre),
		patchW:     r.needed(at, "/patch_width_mm", in.PatchWidthMM, MaxMillimetre),
	}
	switch {
	case in.Joint == Fillet && out.leg == 0:
		r.add(at+"/leg_mm", "a fillet needs its leg")
	case in.Joint == Butt && out.gap == 0:
		r.add(at+"/gap_mm", "a butt weld needs its gap")
	}
	return out
}

func (r *reader) coats(at string, in []Coat) []coat {
	if tooMany(r, at, len(in), MaxCoats) {
		return nil
	}
	out, seen := make([]coat, len(in)), map[string]bool{}
	for i, c := range in {
		here := within(at, i)
		r.key(here, "/key", c.Key)
		if strings.ContainsRune(c.Key, ':') || seen[c.Key] {
			r.add(here+"/key", "the key of a coat is a word without a colon that no other coat has")
		}
		seen[c.Key] = true
		out[i] = r.coat(here, c)
	}
	return out
}

func (r *reader) coat(at string, in Coat) coat {
	r.text(at, "/name", in.Name)
	r.text(at, "/note", in.Note)
	r.sources(at, in.Sources)
	oneOf(r, at, "/where", in.Where, Wheres())
	out := coat{key: in.Key, where: in.Where, onBlasted: in.OnBlasted,
		band: r.number(at, "/band_mm", in.BandMM, 1000), thinner: r.number(at, "/thinner_percent", in.ThinnerPercent, 100)}
	profile := exact(r.number(at, "/profile_um", in.ProfileUM, coating.DeepestProfileUM.IntPart()))
	film := coating.Coat{
		SolidsPercent: exact(r.percent(at, "/solids_percent", in.SolidsPercent)), ThinnerPercent: exact(out.thinner),
		DryFilmUM: exact(r.needed(at, "/dry_film_um", in.DryFilmUM, MaxFilm)), LossPercent: exact(r.loss(at, "/loss_percent", in.LossPercent)),
	}
	if in.Where == OnWelds && out.band == 0 {
		r.add(at+"/band_mm", "a coat on welds needs the width of its band")
	}
	if in.OnBlasted {
		film.DeadUM = coating.DeadVolumeUM(profile, true)
		out.pitted = paintOf(film)
		film.DeadUM = coating.DeadVolumeUM(profile, false)
	}
	out.sound = paintOf(film)
	return out
}

// exact is the decimal of a number that was read from one.
func exact(v float64) decimal.Decimal { return asDecimal(rounded(v, places), places) }

func (r *reader) cavity(at string, in Cavity) paint {
	r.text(at, "/name", in.Name)
	r.text(at, "/note", in.Note)
	r.sources(at, in.Sources)
	return paintOf(coating.Coat{DryFilmUM: exact(r.number(at, "/film_um", in.FilmUM, MaxFilm)),
		SolidsPercent: exact(r.percent(at, "/solids_percent", in.SolidsPercent)), LossPercent: exact(r.loss(at, "/loss_percent", in.LossPercent))})
}
