package domain

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/takeoff"
)

// Bounds of a frame's numbers, in millimetres. A frame of any road vehicle lies
// inside them.
const (
	MaxFrameMM  = 20000
	MaxZones    = 200
	minPlanX    = -5000
	maxPlanX    = 15000
	maxPlanY    = 3000
	maxBarMM    = 3000
	maxAreaM2   = 100
	maxFindings = 100 // alike, counted as one finding
)

var zoneCode = regexp.MustCompile(`^[a-z0-9-]{1,40}$`)

// sectionShapes are the cross sections that frames are made of.
var sectionShapes = []string{"box", "channel", "hat", "tube", "plate", "none"}

// Validate names what is wrong with a zone, given the other zones of the frame.
func (z Zone) Validate(others []Zone) error {
	var c fault.Collector
	if !zoneCode.MatchString(z.Code) {
		c.Add("/code", "A code is 1 to 40 of small letters, digits and hyphens.")
	}
	for _, o := range others {
		if o.ID != z.ID && o.Code == z.Code {
			c.Add("/code", "%s is already the code of %q.", z.Code, o.Name)
		}
	}
	if z.Name == "" {
		c.Add("/name", "A zone has a name.")
	}
	if !slices.Contains([]ZoneKind{Rail, KickUp, Crossmember, Mount, Bracket, FrameOpening}, z.Kind) {
		c.Add("/kind", "A zone is a rail, kick_up, crossmember, mount, bracket or opening.")
	}
	if z.Side != LeftSide && z.Side != CentreSide && z.Side != RightSide {
		c.Add("/side", "A zone lies left, centre or right.")
	}
	z.Section.validate(&c)
	within(&c, "/length_mm", z.LengthMM, 0, MaxFrameMM)
	if z.AreaM2.IsNegative() || z.AreaM2.GreaterThan(decimal.NewFromInt(maxAreaM2)) {
		c.Add("/area_m2", "An area lies between 0 and %d m².", maxAreaM2)
	}
	within(&c, "/visible_percent", z.VisiblePercent, 0, 100)
	if err := fault.As(z.Finish.Validate("/finish", false)); err != nil {
		c.Add("/finish", "%s", err.Fields[0].Detail)
	}
	z.Plan.validate(&c, z.Kind)
	return c.Err("zone-invalid")
}

// validate wants walls that fit into the section, as a takeoff will.
func (s Section) validate(c *fault.Collector) {
	if !slices.Contains(sectionShapes, s.Shape) {
		c.Add("/section/shape", "A section is a box, channel, hat, tube, plate or none.")
	}
	within(c, "/section/width_mm", s.WidthMM, 0, MaxFrameMM)
	within(c, "/section/height_mm", s.HeightMM, 0, MaxFrameMM)
	if s.ThicknessMM.IsNegative() {
		c.Add("/section/thickness_mm", "A thickness is not negative.")
	}
	for _, f := range s.tooThick() {
		c.Add("/section"+f.Pointer, "%s", f.Detail)
	}
}

// tooThick is what a takeoff says against the thickness of a section. What was not
// measured, and a thickness below 0, has been named or is left to the takeoff.
func (s Section) tooThick() []fault.Field {
	if s.ThicknessMM.IsNegative() {
		return nil
	}
	z := s.Measured(1, decimal.Zero)
	if err := fault.As(z.Check()); err != nil {
		return slices.DeleteFunc(slices.Clone(err.Fields), func(f fault.Field) bool { return f.Pointer != "/thickness_mm" || s.ThicknessMM.IsZero() })
	}
	return nil
}

// Measured is a piece of frame of this section as a takeoff measures it. A plate and
// a tube have no height of their own there, and a given surface only what has no
// section.
func (s Section) Measured(lengthMM int, areaM2 decimal.Decimal) takeoff.Zone {
	z := takeoff.Zone{ID: "zone", Shape: takeoff.Shape(s.Shape), LengthMM: strconv.Itoa(lengthMM), ThicknessMM: s.ThicknessMM.String()}
	if z.Shape == takeoff.None {
		z.AreaM2 = areaM2.String()
		return z
	}
	z.WidthMM = strconv.Itoa(s.WidthMM)
	if z.Shape != takeoff.Plate && z.Shape != takeoff.Tube {
		z.HeightMM = strconv.Itoa(s.HeightMM)
	}
	return z
}

func (p ZonePlan) validate(c *fault.Collector, kind ZoneKind) {
	within(c, "/plan/from/x", p.From.X, minPlanX, maxPlanX)
	within(c, "/plan/from/y", p.From.Y, -maxPlanY, maxPlanY)
	within(c, "/plan/to/x", p.To.X, minPlanX, maxPlanX)
	within(c, "/plan/to/y", p.To.Y, -maxPlanY, maxPlanY)
	within(c, "/plan/width", p.Width, 1, maxBarMM)
	if kind == Mount && p.From != p.To {
		c.Add("/plan/to", "A mount is a place, not a bar: from and to are the same.")
	}
}

// Validate names what is wrong with a layout by its zones.
func (l FrameLayout) Validate() error {
	if len(l.Zones) == 0 || len(l.Zones) > MaxZones {
		return fault.New(fault.Invalid, "layout-invalid", "Layout %s has %d zones; 1 to %d are possible.", l.Code, len(l.Zones), MaxZones)
	}
	var zones []Zone
	for i, z := range l.Zones {
		zone := z.Zone("", i+1)
		zone.ID = fmt.Sprint(i)
		if err := zone.Validate(zones); err != nil {
			return fmt.Errorf("layout %s, zone %s: %w", l.Code, z.Code, err)
		}
		zones = append(zones, zone)
	}
	return nil
}

// Zone returns the zone of a job that a layout's zone becomes, without an ID.
func (z LayoutZone) Zone(jobID ID, position int) Zone {
	return Zone{JobID: jobID, Code: z.Code, Name: z.Name, Kind: z.Kind, Side: z.Side, Section: z.Section, LengthMM: z.LengthMM,
		AreaM2: z.AreaM2, VisiblePercent: z.VisiblePercent, Plan: z.Plan, Position: position}
}

// Conditions lists what steel can look like, from sound to worst, hidden last.
func Conditions() []Condition {
	return []Condition{GradeA, GradeB, GradeC, GradeD, Pitted, Patched, Perforated, Hidden}
}

// Moments lists the surveys of a job in their order.
func Moments() []Moment { return []Moment{OnArrival, BodyOff, Stripped, Repaired} }

// FindingWhats lists what can be uncovered.
func FindingWhats() []FindingWhat {
	return []FindingWhat{FoundRust, FoundPerforation, FoundPatchOverRot, FoundCrack, FoundBrokenBolt, FoundSpunNut,
		FoundMissingOpening, FoundMissingBracket, FoundBent, FoundOther}
}

// Validate names what is wrong with an observation as it was sent, given the
// zones and photos of its job.
func (o Observation) Validate(zones []Zone, photos []Photo) error {
	var c fault.Collector
	onZone(&c, o.ZoneID, zones)
	if !slices.Contains(Moments(), o.Moment) {
		c.Add("/moment", "A survey is made on arrival, body_off, stripped or repaired.")
	}
	if !slices.Contains(Conditions(), o.Condition) {
		c.Add("/condition", "This is not a condition of steel.")
	}
	measured(&c, o.LengthMM, o.WidthMM)
	if o.Condition == Hidden && (o.LengthMM > 0 || o.WidthMM > 0) {
		c.Add("/condition", "What is hidden cannot be measured.")
	}
	withPhotos(&c, o.PhotoIDs, photos)
	return c.Err("observation-invalid")
}

// Validate names what is wrong with a finding as it was sent, given the zones
// and photos of its job and the codes of its repair list.
func (f Finding) Validate(zones []Zone, photos []Photo, repairs []string) error {
	var c fault.Collector
	onZone(&c, f.ZoneID, zones)
	if !slices.Contains(FindingWhats(), f.What) {
		c.Add("/what", "This is not a kind of finding.")
	}
	if f.Condition != "" && !slices.Contains(Conditions(), f.Condition) {
		c.Add("/condition", "This is not a condition of steel.")
	}
	measured(&c, f.LengthMM, f.WidthMM)
	if f.Count < 1 || f.Count > maxFindings {
		c.Add("/count", "A finding counts 1 to %d alike.", maxFindings)
	}
	if f.What == FoundOther && f.Note == "" {
		c.Add("/note", "Say what was found.")
	}
	for i, code := range f.Repairs {
		if !slices.Contains(repairs, code) {
			c.Add(fmt.Sprintf("/repairs/%d", i), "The repair list has no %q.", code)
		}
	}
	withPhotos(&c, f.PhotoIDs, photos)
	return c.Err("finding-invalid")
}

func onZone(c *fault.Collector, id ID, zones []Zone) {
	if !slices.ContainsFunc(zones, func(z Zone) bool { return z.ID == id }) {
		c.Add("/zone_id", "This job's frame has no such zone.")
	}
}

func measured(c *fault.Collector, length, width int) {
	within(c, "/length_mm", length, 0, MaxFrameMM)
	within(c, "/width_mm", width, 0, MaxFrameMM)
}

func within(c *fault.Collector, pointer string, value, least, most int) {
	if value < least || value > most {
		c.Add(pointer, "This lies between %d and %d.", least, most)
	}
}

func withPhotos(c *fault.Collector, ids []ID, photos []Photo) {
	for i, id := range ids {
		if !slices.ContainsFunc(photos, func(p Photo) bool { return p.ID == id }) {
			c.Add(fmt.Sprintf("/photo_ids/%d", i), "This job has no such photo.")
		}
	}
}
