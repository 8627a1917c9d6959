package store

import (
	"errors"
	"strings"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/points"
)

type sheetRecord struct {
	ShopID    string
	ID        string
	Version   int
	SortName  string
	RetiredAt *time.Time
}

// TableName names the table.
func (sheetRecord) TableName() string { return "sheets" }

type sheetVersionRecord struct {
	ShopID  string
	SheetID string
	Version int
	Plan    structured[points.Sheet]
	MadeAt  time.Time
	MadeBy  string
}

// TableName names the table.
func (sheetVersionRecord) TableName() string { return "sheet_versions" }

func sheetOf(head sheetRecord, v sheetVersionRecord) domain.Sheet {
	return domain.Sheet{ID: head.ID, Version: v.Version, Plan: v.Plan.v, MadeAt: v.MadeAt.UTC(), MadeBy: v.MadeBy, RetiredAt: utcOrNil(head.RetiredAt)}
}

func (w *writer) sheetToRecords(s domain.Sheet) (sheetRecord, sheetVersionRecord) {
	return sheetRecord{ShopID: w.shop, ID: s.ID, Version: s.Version, SortName: strings.ToLower(s.Plan.Name), RetiredAt: instantOrNil(s.RetiredAt)},
		sheetVersionRecord{ShopID: w.shop, SheetID: s.ID, Version: s.Version, Plan: asJSON(s.Plan), MadeAt: instant(s.MadeAt), MadeBy: s.MadeBy}
}

// Sheets lists the newest versions by name.
func (r *reader) Sheets() ([]domain.Sheet, error) {
	heads, err := list[sheetRecord](r, "sort_name, id", 0, "1 = 1")
	if err != nil {
		return nil, err
	}
	newest, err := list[sheetVersionRecord](r, "", 0,
		"EXISTS (SELECT 1 FROM sheets s WHERE s.shop_id = sheet_versions.shop_id AND s.id = sheet_versions.sheet_id AND s.version = sheet_versions.version)")
	if err != nil {
		return nil, err
	}
	of := map[string]sheetVersionRecord{}
	for _, v := range newest {
		of[v.SheetID] = v
	}
	out := make([]domain.Sheet, len(heads))
	for i, head := range heads {
		out[i] = sheetOf(head, of[head.ID])
	}
	return out, nil
}

// Sheet returns one version of a sheet; 0 is the newest.
func (r *reader) Sheet(id domain.ID, version int) (domain.Sheet, error) {
	head, err := one[sheetRecord](r, "sheet", "id = ?", id)
	if err != nil {
		return domain.Sheet{}, err
	}
	if version == 0 {
		version = head.Version
	}
	v, err := one[sheetVersionRecord](r, "sheet", "sheet_id = ? AND version = ?", id, version)
	return sheetOf(head, v), err
}

type sheetUseRecord struct {
	ID           string
	SheetID      *string
	SheetVersion int
}

// TableName names the table.
func (sheetUseRecord) TableName() string { return "jobs" }

// SheetUse says of each sheet how many jobs are judged by it.
func (r *reader) SheetUse() (map[domain.ID]domain.SheetUsed, error) {
	rows, err := list[sheetUseRecord](r, "", 0, "sheet_id IS NOT NULL")
	out := map[domain.ID]domain.SheetUsed{}
	for _, row := range rows {
		u := out[*row.SheetID]
		if u.Jobs == 0 || row.SheetVersion < u.Oldest {
			u.Oldest = row.SheetVersion
		}
		u.Jobs++
		out[*row.SheetID] = u
	}
	return out, err
}

// AddSheet stores a new sheet with its version.
func (w *writer) AddSheet(s domain.Sheet) error {
	head, v := w.sheetToRecords(s)
	return errors.Join(add(w, []sheetRecord{head}), add(w, []sheetVersionRecord{v}))
}

// SaveSheet stores a further version and whether the sheet is retired.
func (w *writer) SaveSheet(s domain.Sheet) error {
	head, v := w.sheetToRecords(s)
	if err := save(w, "sheet", &head, nil, "id = ?", s.ID); err != nil {
		return err
	}
	_, err := one[sheetVersionRecord](&w.reader, "sheet", "sheet_id = ? AND version = ?", s.ID, s.Version)
	if fault.KindOf(err) == fault.NotFound {
		return add(w, []sheetVersionRecord{v})
	}
	return err
}
