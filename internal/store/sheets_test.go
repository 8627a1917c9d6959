package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/points"
)

// sheetCalled is a sheet with one item.
func sheetCalled(id domain.ID, name string, version int) domain.Sheet {
	return domain.Sheet{ID: id, Version: version, MadeAt: at(version), MadeBy: "Ida Kranz",
		Plan: points.Sheet{Key: "k", Name: name, Note: "ünï", Looks: []points.Look{{Condition: points.Hidden, Share: "0.25"}},
			Items: []points.Item{{Key: "frame", Name: "Frame", MaxOriginality: "10", MaxCondition: "8", Kinds: []string{"rail"}, Zones: []string{"left-rail"},
				Departures: []points.Departure{{What: "crack", Originality: "0.50", Condition: "0", Note: "n"}}}}}}
}

// Sheets are read back as they were written, newest version first in lists, every
// version by its number; they belong to their shop, and versions never change.
func TestSheetsKeepTheirVersions(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		first, second2 := sheetCalled("a-sheet", "zeta", 1), sheetCalled("a-sheet", "Zeta, mended", 2)
		other, rival := sheetCalled("a-other", "Alpha", 1), sheetCalled("b-sheet", "Theirs", 1)
		job := f.job
		job.SheetID, job.SheetVersion = "a-sheet", 1
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddSheet(first), tx.AddSheet(other), tx.SaveSheet(second2), tx.SaveJob(job))
		})
		update(t, s, "b", func(tx app.Tx) error { return tx.AddSheet(rival) })
		retired := other
		retired.RetiredAt = ptr(at(40))
		update(t, s, "a", func(tx app.Tx) error { return tx.SaveSheet(retired) })
		view(t, s, "a", func(r app.Reader) {
			all, err := r.Sheets()
			same(t, "Sheets", all, []domain.Sheet{retired, second2}, err)
			newest, err := r.Sheet("a-sheet", 0)
			same(t, "the newest version", newest, second2, err)
			old, err := r.Sheet("a-sheet", 1)
			same(t, "the first version", old, first, err)
			use, err := r.SheetUse()
			same(t, "SheetUse", use, map[domain.ID]domain.SheetUsed{"a-sheet": {Jobs: 1, Oldest: 1}}, err)
			read, err := r.Job(f.job.ID)
			same(t, "Job", read, job, err)
			refused(t, "another shop's sheet", second(r.Sheet("b-sheet", 0)), fault.NotFound, "sheet-not-found")
			refused(t, "a version that is not there", second(r.Sheet("a-sheet", 3)), fault.NotFound, "sheet-not-found")
		})
		refused(t, "saving another shop's sheet", s.Update(t.Context(), "b", func(tx app.Tx) error { return tx.SaveSheet(second2) }), fault.NotFound, "sheet-not-found")
		refused(t, "a sheet twice", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.AddSheet(first) }), fault.Conflict, "already-there")
		statements := []string{"UPDATE sheet_versions SET plan = '{}'", "UPDATE sheet_versions SET made_by = 'x'", "DELETE FROM sheet_versions"}
		if !isSQLite(s) {
			statements = append(statements, "TRUNCATE sheet_versions")
		}
		for _, statement := range statements {
			refused(t, statement, raw(t, s, statement), fault.Conflict, "append-only")
		}
	})
}

// A failed edit leaves neither head nor version behind.
func TestASheetsVersionAndHeadMoveTogether(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		furnish(t, s, "a")
		sheet := sheetCalled("a-sheet", "One", 1)
		update(t, s, "a", func(tx app.Tx) error { return tx.AddSheet(sheet) })
		next := sheetCalled("a-sheet", "Two", 2)
		undone := fault.New(fault.Conflict, "undone", "Undone.")
		refused(t, "an edit that fails", s.Update(t.Context(), "a", func(tx app.Tx) error { return must(tx.SaveSheet(next), undone) }), fault.Conflict, "undone")
		view(t, s, "a", func(r app.Reader) {
			all, err := r.Sheets()
			same(t, "Sheets", all, []domain.Sheet{sheet}, err)
			refused(t, "the version", second(r.Sheet("a-sheet", 2)), fault.NotFound, "sheet-not-found")
		})
	})
}
