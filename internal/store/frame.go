package store

import (
	"time"

	"bareframe/internal/domain"
)

type zoneRecord struct {
	ShopID         string
	ID             string
	JobID          string
	Code           string
	Name           string
	Kind           string
	Side           string
	Section        structured[domain.Section]
	LengthMM       int    `gorm:"column:length_mm"`
	AreaM2         amount `gorm:"column:area_m2"`
	VisiblePercent int
	Plan           structured[domain.ZonePlan]
	Position       int
	RemovedAt      *time.Time
	Finish         string
	Ways           structured[domain.Ways]
}

// TableName names the table.
func (zoneRecord) TableName() string { return "zones" }

func (r *reader) zoneToRecord(z domain.Zone) zoneRecord {
	return zoneRecord{ShopID: r.shop, ID: z.ID, JobID: z.JobID, Code: z.Code, Name: z.Name, Kind: string(z.Kind), Side: string(z.Side),
		Section: asJSON(z.Section), LengthMM: z.LengthMM, AreaM2: amount{z.AreaM2}, VisiblePercent: z.VisiblePercent,
		Plan: asJSON(z.Plan), Position: z.Position, Finish: string(z.Finish), Ways: asJSON(waysOrNone(z.Ways))}
}

func (r zoneRecord) toDomain() domain.Zone {
	return domain.Zone{ID: r.ID, JobID: r.JobID, Code: r.Code, Name: r.Name, Kind: domain.ZoneKind(r.Kind), Side: domain.Side(r.Side),
		Section: r.Section.v, LengthMM: r.LengthMM, AreaM2: r.AreaM2.Decimal, VisiblePercent: r.VisiblePercent,
		Plan: r.Plan.v, Position: r.Position, Finish: domain.Finish(r.Finish), Ways: waysOrNil(r.Ways.v)}
}

type observationRecord struct {
	ShopID     string
	ID         string
	JobID      string
	ZoneID     string
	Moment     string
	Condition  string
	LengthMM   int `gorm:"column:length_mm"`
	WidthMM    int `gorm:"column:width_mm"`
	Note       string
	PhotoIDs   structured[[]domain.ID] `gorm:"column:photo_ids"`
	ByID       string
	ByName     string
	SeenAt     time.Time
	VoidedAt   *time.Time
	VoidedBy   string
	VoidReason string
}

// TableName names the table.
func (observationRecord) TableName() string { return "observations" }

func (r *reader) observationToRecord(o domain.Observation) observationRecord {
	return observationRecord{ShopID: r.shop, ID: o.ID, JobID: o.JobID, ZoneID: o.ZoneID, Moment: string(o.Moment), Condition: string(o.Condition),
		LengthMM: o.LengthMM, WidthMM: o.WidthMM, Note: o.Note, PhotoIDs: asJSON(o.PhotoIDs), ByID: o.By, ByName: o.ByName, SeenAt: instant(o.At),
		VoidedAt: instantOrNil(o.VoidedAt), VoidedBy: o.VoidedBy, VoidReason: o.VoidReason}
}

func (r observationRecord) toDomain() domain.Observation {
	return domain.Observation{ID: r.ID, JobID: r.JobID, ZoneID: r.ZoneID, Moment: domain.Moment(r.Moment), Condition: domain.Condition(r.Condition),
		LengthMM: r.LengthMM, WidthMM: r.WidthMM, Note: r.Note, PhotoIDs: r.PhotoIDs.v, By: r.ByID, ByName: r.ByName, At: r.SeenAt.UTC(),
		VoidedAt: utcOrNil(r.VoidedAt), VoidedBy: r.VoidedBy, VoidReason: r.VoidReason}
}

// Zones lists a job's zones by position.
func (r *reader) Zones(jobID domain.ID) ([]domain.Zone, error) {
	rows, err := list[zoneRecord](r, "position, id", 0, "job_id = ? AND removed_at IS NULL", jobID)
	return domains(rows), err
}

// Observations lists all of a job, oldest first, voided ones too.
func (r *reader) Observations(jobID domain.ID) ([]domain.Observation, error) {
	rows, err := list[observationRecord](r, "seen_at, id", 0, "job_id = ?", jobID)
	return domains(rows), err
}

// Observation returns one observation.
func (r *reader) Observation(id domain.ID) (domain.Observation, error) {
	row, err := one[observationRecord](r, "observation", "id = ?", id)
	return row.toDomain(), err
}

// AddZones stores new zones. It fails with Conflict "zone-code-taken" when
// another zone of the frame bears the code.
func (w *writer) AddZones(rows []domain.Zone) error { return add(w, records(rows, w.zoneToRecord)) }

// SaveZone stores a zone that was changed.
func (w *writer) SaveZone(z domain.Zone) error {
	row := w.zoneToRecord(z)
	return save(w, "zone", &row, fixedInJob, present, z.ID)
}

// RemoveZone takes a zone out of the frame. It stays stored.
func (w *writer) RemoveZone(id domain.ID, at time.Time) error {
	return w.remove("zone", "zones", id, at)
}

// AddObservation stores a new observation.
func (w *writer) AddObservation(o domain.Observation) error {
	return add(w, []observationRecord{w.observationToRecord(o)})
}

// VoidObservation fills in by whom, when and why. One that was voided stays as
// it is: Conflict "append-only".
func (w *writer) VoidObservation(o domain.Observation) error {
	row := w.observationToRecord(o)
	return w.exec("observation", "UPDATE observations SET voided_at = ?, voided_by = ?, void_reason = ? WHERE shop_id = ? AND id = ?",
		row.VoidedAt, row.VoidedBy, row.VoidReason, w.shop, o.ID)
}
