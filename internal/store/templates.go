package store

import (
	"strings"

	"bareframe/internal/domain"
)

type templateRecord struct {
	ShopID   string
	ID       string
	Version  int
	Key      string
	SortName string
	Plan     structured[domain.TemplatePlan]
}

// TableName names the table.
func (templateRecord) TableName() string { return "templates" }

func (r templateRecord) toDomain() domain.Template {
	return domain.Template{ID: r.ID, Version: r.Version, Plan: r.Plan.v}
}

// Templates lists by name.
func (r *reader) Templates() ([]domain.Template, error) {
	rows, err := list[templateRecord](r, "sort_name, id", 0, "1 = 1")
	return domains(rows), err
}

// Template returns one template.
func (r *reader) Template(id domain.ID) (domain.Template, error) {
	row, err := one[templateRecord](r, "template", "id = ?", id)
	return row.toDomain(), err
}

// AddTemplate stores a new template.
func (w *writer) AddTemplate(t domain.Template) error {
	return add(w, []templateRecord{{ShopID: w.shop, ID: t.ID, Version: t.Version, Key: t.Plan.Key,
		SortName: strings.ToLower(t.Plan.Name), Plan: asJSON(t.Plan)}})
}
