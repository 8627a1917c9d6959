package domain

import (
	"time"

	"bareframe/internal/fault"
	"bareframe/internal/points"
)

// MaxSheets bounds the judging sheets of a shop, retired ones included.
const MaxSheets = 50

// Sheet is one of a shop's own judging sheets. Each change makes a further
// version, and all versions stay: a job is judged by the version that was taken
// for it, until the owner takes a newer one.
type Sheet struct {
	ID        ID
	Version   int // the newest is the sheet's own
	Plan      points.Sheet
	MadeAt    time.Time // this version
	MadeBy    string
	RetiredAt *time.Time // not offered for jobs any more
}

// SheetUsed is how many jobs are judged by a sheet, and the oldest version among
// them.
type SheetUsed struct {
	Jobs   int
	Oldest int
}

// Validate names what is wrong with a sheet beside the others of its shop.
func (s Sheet) Validate(others []Sheet) error {
	if err := s.Plan.Validate(); err != nil {
		return err
	}
	for _, o := range others {
		if o.ID != s.ID && o.RetiredAt == nil && o.Plan.Name == s.Plan.Name {
			return fault.InvalidField("sheet-name-taken", "/name", "There is a sheet of this name already.")
		}
	}
	return nil
}

// Changeable refuses changes of a sheet that was retired.
func (s Sheet) Changeable() error {
	if s.RetiredAt != nil {
		return fault.New(fault.Conflict, "sheet-retired", "%q is retired; take it back into use to change it.", s.Plan.Name)
	}
	return nil
}
