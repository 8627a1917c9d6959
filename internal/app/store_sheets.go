package app

import "bareframe/internal/domain"

// SheetReader reads judging sheets.
type SheetReader interface {
	// Sheets lists the newest version of each sheet by name, retired ones too.
	Sheets() ([]domain.Sheet, error)
	// Sheet returns one version of a sheet; 0 is the newest.
	Sheet(id domain.ID, version int) (domain.Sheet, error)
	// SheetUse says of each sheet that jobs are judged by how many they are.
	SheetUse() (map[domain.ID]domain.SheetUsed, error)
}

// SheetWriter writes them.
type SheetWriter interface {
	AddSheet(s domain.Sheet) error
	// SaveSheet keeps a further version of a sheet and whether it is retired. A
	// version that is there already stays as it is.
	SaveSheet(s domain.Sheet) error
}
