package app

import (
	"time"

	"bareframe/internal/domain"
)

// FrameReader reads frames, what was seen on them and what was found.
type FrameReader interface {
	// Zones lists a job's zones by position.
	Zones(jobID domain.ID) ([]domain.Zone, error)
	// Observations lists all of a job, oldest first, voided ones too.
	Observations(jobID domain.ID) ([]domain.Observation, error)
	Observation(id domain.ID) (domain.Observation, error)
	// Findings lists a job's findings by number, highest first.
	Findings(jobID domain.ID) ([]domain.Finding, error)
	Finding(id domain.ID) (domain.Finding, error)
	Photo(id domain.ID) (domain.Photo, error)
	// Photos lists a job's photos, oldest first.
	Photos(jobID domain.ID) ([]domain.Photo, error)
	// PhotoKept reports whether a photo of the shop has its bytes under a name.
	PhotoKept(blob string) (bool, error)
}

// FrameWriter writes them.
type FrameWriter interface {
	AddZones(rows []domain.Zone) error
	SaveZone(z domain.Zone) error
	RemoveZone(id domain.ID, at time.Time) error
	AddObservation(o domain.Observation) error
	// VoidObservation fills in by whom, when and why; nothing else moves.
	VoidObservation(o domain.Observation) error
	AddPhoto(p domain.Photo) error
	// NextFindingNumber counts up within the job.
	NextFindingNumber(jobID domain.ID) (int, error)
	AddFinding(f domain.Finding) error
	// SaveFinding saves what was found as edited, and the next state; number and
	// who reported it stay.
	SaveFinding(f domain.Finding) error
}
