package domain

import (
	"time"

	"github.com/shopspring/decimal"
)

// Zone is a named area of a job's frame.
type Zone struct {
	ID             ID
	JobID          ID
	Code           string
	Name           string
	Kind           ZoneKind
	Side           Side
	Section        Section
	LengthMM       int
	AreaM2         decimal.Decimal // outer surface
	VisiblePercent int             // how much of it can be seen with the body on
	Plan           ZonePlan
	Position       int
	Finish         Finish // empty: the job's
	Ways           Ways   // stages that are not named: the job's
}

// ZoneKind says what a zone is.
type ZoneKind string

// The kinds of zone.
const (
	Rail         ZoneKind = "rail"
	KickUp       ZoneKind = "kick_up"
	Crossmember  ZoneKind = "crossmember"
	Mount        ZoneKind = "mount"
	Bracket      ZoneKind = "bracket"
	FrameOpening ZoneKind = "opening"
)

// Side is where a zone lies, seen from the driver's seat.
type Side string

// The sides.
const (
	LeftSide   Side = "left"
	CentreSide Side = "centre"
	RightSide  Side = "right"
)

// Section is the cross section of a zone.
type Section struct {
	Shape       string          `json:"shape"` // box, channel, hat, tube, plate, none
	WidthMM     int             `json:"width_mm"`
	HeightMM    int             `json:"height_mm"`
	ThicknessMM decimal.Decimal `json:"thickness_mm"`
}

// PlanPoint is a place in the plan view, in millimetres: X from the front axle
// to the rear, Y from the centre line, right positive.
type PlanPoint struct {
	X int `json:"x"`
	Y int `json:"y"`
}

// ZonePlan is a zone in the plan view: a bar of a width along its centre line.
// A mount has From equal to To.
type ZonePlan struct {
	From  PlanPoint `json:"from"`
	To    PlanPoint `json:"to"`
	Width int       `json:"width"`
}

// FrameLayout is a frame to start from, as in seed files.
type FrameLayout struct {
	Code  string       `json:"code"`
	Name  string       `json:"name"`
	Note  string       `json:"note"`
	Zones []LayoutZone `json:"zones"`
}

// LayoutZone is a zone of a layout.
type LayoutZone struct {
	Code           string          `json:"code"`
	Name           string          `json:"name"`
	Kind           ZoneKind        `json:"kind"`
	Side           Side            `json:"side"`
	Section        Section         `json:"section"`
	LengthMM       int             `json:"length_mm"`
	AreaM2         decimal.Decimal `json:"area_m2"`
	VisiblePercent int             `json:"visible_percent"`
	Plan           ZonePlan        `json:"plan"`
}

// Condition is what steel looks like: a rust grade of ISO 8501-1 or what the
// trade calls it.
type Condition string

// The conditions, from sound to worst; Hidden is not seen.
const (
	GradeA     Condition = "a"
	GradeB     Condition = "b"
	GradeC     Condition = "c"
	GradeD     Condition = "d"
	Pitted     Condition = "pitted"
	Patched    Condition = "patched"
	Perforated Condition = "perforated"
	Hidden     Condition = "hidden"
)

// Moment is when in the life of a job a survey was made.
type Moment string

// The moments, in their order.
const (
	OnArrival Moment = "arrival"
	BodyOff   Moment = "body_off"
	Stripped  Moment = "stripped"
	Repaired  Moment = "repaired"
)

// Observation is what somebody saw on a zone at a moment. It is never changed;
// one that does not stand is voided.
type Observation struct {
	ID         ID
	JobID      ID
	ZoneID     ID
	Moment     Moment
	Condition  Condition
	LengthMM   int // 0 is not measured
	WidthMM    int
	Note       string
	PhotoIDs   []ID
	By         ID
	ByName     string
	At         time.Time
	VoidedAt   *time.Time
	VoidedBy   string
	VoidReason string
}

// Photo is a picture of a job. The bytes lie in the photo folder under Blob and
// Thumb, names that the shop's people never chose.
type Photo struct {
	ID     ID
	JobID  ID
	Blob   string
	Thumb  string
	Hash   string // SHA-256 of the full picture, hex
	Width  int
	Height int
	Bytes  int
	By     ID
	ByName string
	At     time.Time
}
