package store

import (
	"strings"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

type personRecord struct {
	ShopID       string
	ID           string
	Version      int
	Name         string
	SortName     string
	Email        string
	Phone        string
	Role         string
	Skills       structured[[]string]
	CostRate     amount
	Active       bool
	PasswordHash string
	SignInEmail  *string   // set for people with a password, unique over all shops
	CreatedAt    time.Time `gorm:"autoCreateTime:false"`
	Roster       structured[*domain.Roster]
}

// TableName names the table.
func (personRecord) TableName() string { return "people" }

func (r *reader) personToRecord(p domain.Person) personRecord {
	row := personRecord{ShopID: r.shop, ID: p.ID, Version: p.Version, Name: p.Name, SortName: strings.ToLower(p.Name),
		Email: p.Email, Phone: p.Phone, Role: string(p.Role), Skills: asJSON(p.Skills), CostRate: amount{p.CostRate},
		Active: p.Active, PasswordHash: p.PasswordHash, CreatedAt: instant(p.CreatedAt), Roster: asJSON(p.Roster)}
	if p.PasswordHash != "" {
		address := signInAddress(p.Email)
		row.SignInEmail = &address
	}
	return row
}

func (r personRecord) toDomain() domain.Person {
	return domain.Person{ID: r.ID, Version: r.Version, Name: r.Name, Email: r.Email, Phone: r.Phone,
		Role: domain.Role(r.Role), Skills: r.Skills.v, CostRate: r.CostRate.Decimal, Active: r.Active,
		PasswordHash: r.PasswordHash, CreatedAt: r.CreatedAt.UTC(), Roster: r.Roster.v}
}

// signInAddress is the form in which an address is looked up.
func signInAddress(email string) string { return strings.ToLower(strings.TrimSpace(email)) }

// People lists by name then ID.
func (r *reader) People(role domain.Role, page app.Page) ([]domain.Person, string, error) {
	condition, args := "1 = 1", []any{}
	if role != "" {
		condition, args = "role = ?", []any{string(role)}
	}
	if page.After != "" {
		var name, id string
		if err := resume("people", page.After, &name, &id); err != nil {
			return nil, "", err
		}
		condition, args = condition+" AND (sort_name, id) > (?, ?)", append(args, name, id)
	}
	rows, err := list[personRecord](r, "sort_name, id", size(page)+1, condition, args...)
	rows, next := cut(rows, page, func(l personRecord) string { return position("people", l.SortName, l.ID) })
	return domains(rows), next, err
}

// PeopleByID loads several people in one query; who is not there is left out.
func (r *reader) PeopleByID(ids []domain.ID) (map[domain.ID]domain.Person, error) {
	out := map[domain.ID]domain.Person{}
	if len(ids) == 0 {
		return out, nil
	}
	condition, arg := r.among("id", ids)
	rows, err := list[personRecord](r, "", 0, condition, arg)
	for _, row := range rows {
		out[row.ID] = row.toDomain()
	}
	return out, err
}

// Person returns one person.
func (r *reader) Person(id domain.ID) (domain.Person, error) {
	row, err := one[personRecord](r, "person", "id = ?", id)
	return row.toDomain(), err
}

// AddPerson stores a new person.
func (w *writer) AddPerson(p domain.Person) error {
	return add(w, []personRecord{w.personToRecord(p)})
}

// SavePerson stores what changed about a person.
func (w *writer) SavePerson(p domain.Person) error {
	row := w.personToRecord(p)
	return save(w, "person", &row, []string{"created_at"}, "id = ?", p.ID)
}

// domains converts rows to nouns.
func domains[R interface{ toDomain() D }, D any](rows []R) []D {
	out := make([]D, len(rows))
	for i, row := range rows {
		out[i] = row.toDomain()
	}
	return out
}
