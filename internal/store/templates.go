package store

import (
	"strings"
	"time"

	"bareframe/internal/domain"
)

// templateHead is a stored revision without its plan, which is long.
type templateHead struct {
	ShopID   string
	ID       string
	Version  int // the revision
	Key      string
	SortName string
	SavedAt  *time.Time
	SavedBy  string
	Note     string
	Retired  bool
}

type templateRecord struct {
	ShopID   string
	ID       string
	Version  int // the revision
	Key      string
	SortName string
	SavedAt  *time.Time
	SavedBy  string
	Note     string
	Retired  bool
	Plan     structured[domain.TemplatePlan]
}

// TableName names the table.
func (templateHead) TableName() string { return "templates" }

// TableName names the table.
func (templateRecord) TableName() string { return "templates" }

func (r templateHead) toDomain() domain.Template {
	return domain.Template{ID: r.ID, Revision: r.Version, SavedAt: instantOrNil(r.SavedAt), SavedBy: r.SavedBy, Note: r.Note, Retired: r.Retired,
		Plan: domain.TemplatePlan{Key: r.Key}}
}

func (r templateRecord) toDomain() domain.Template {
	return domain.Template{ID: r.ID, Revision: r.Version, SavedAt: instantOrNil(r.SavedAt), SavedBy: r.SavedBy, Note: r.Note, Retired: r.Retired, Plan: r.Plan.v}
}

// newest is the highest revision of each key.
const newest = "version = (SELECT MAX(other.version) FROM templates other WHERE other.shop_id = templates.shop_id AND other.key = templates.key)"

// Templates lists the newest revision of each key by name.
func (r *reader) Templates() ([]domain.Template, error) {
	rows, err := list[templateRecord](r, "sort_name, id", 0, newest)
	return domains(rows), err
}

// Template returns one revision.
func (r *reader) Template(id domain.ID) (domain.Template, error) {
	row, err := one[templateRecord](r, "template", "id = ?", id)
	return row.toDomain(), err
}

// TemplateRevisions lists the revisions of a key, newest first, without plans.
func (r *reader) TemplateRevisions(key string) ([]domain.Template, error) {
	rows, err := list[templateHead](r, "version DESC", 0, "key = ?", key)
	return domains(rows), err
}

// AddTemplate stores a new revision.
func (w *writer) AddTemplate(t domain.Template) error {
	return add(w, []templateRecord{{ShopID: w.shop, ID: t.ID, Version: t.Revision, Key: t.Plan.Key, SortName: strings.ToLower(t.Plan.Name),
		SavedAt: instantOrNil(t.SavedAt), SavedBy: t.SavedBy, Note: t.Note, Retired: t.Retired, Plan: asJSON(t.Plan)}})
}
