package store

import (
	"cmp"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

type jobRecord struct {
	ShopID           string
	ID               string
	Version          int
	Number           int
	Title            string
	State            string
	ClientID         string
	TemplateID       *string
	TemplateName     string
	FrameName        string
	VehicleOptions   structured[[]domain.VehicleOption]
	Cautions         structured[map[string]string]
	Vehicle          structured[domain.Vehicle]
	NotBefore        string
	Promise          string
	CreatedAt        time.Time `gorm:"autoCreateTime:false"`
	AcceptedQuoteID  *string
	AuthorisedAmount amount
	Currency         string
	ExchangeRate     amount
	RateOn           string
	SheetID          *string
	SheetVersion     int
	Finish           string
	Ways             structured[domain.Ways]
	Weight           int
}

// TableName names the table.
func (jobRecord) TableName() string { return "jobs" }

func (r *reader) jobToRecord(j domain.Job) jobRecord {
	return jobRecord{ShopID: r.shop, ID: j.ID, Version: j.Version, Number: j.Number, Title: j.Title,
		State: string(j.State), ClientID: j.ClientID, TemplateID: orNull(j.TemplateID), TemplateName: j.TemplateName, FrameName: j.FrameName,
		VehicleOptions: asJSON(j.VehicleOptions), Cautions: asJSON(j.Cautions), Vehicle: asJSON(j.Vehicle),
		NotBefore: string(j.NotBefore), Promise: string(j.Promise), CreatedAt: instant(j.CreatedAt),
		AcceptedQuoteID: orNull(j.AcceptedQuoteID), AuthorisedAmount: amount{j.AuthorisedAmount}, Currency: j.Currency,
		ExchangeRate: amount{j.Rate()}, RateOn: string(j.RateOn),
		SheetID: orNull(j.SheetID), SheetVersion: j.SheetVersion,
		Finish: finishOrShow(j.Finish), Ways: asJSON(waysOrNone(j.Ways)), Weight: cmp.Or(j.Weight, domain.OrdinaryWeight)}
}

func (r jobRecord) toDomain() domain.Job {
	return domain.Job{ID: r.ID, Version: r.Version, Number: r.Number, Title: r.Title,
		State: domain.JobState(r.State), ClientID: r.ClientID, TemplateID: orEmpty(r.TemplateID), TemplateName: r.TemplateName, FrameName: r.FrameName,
		VehicleOptions: r.VehicleOptions.v, Cautions: r.Cautions.v, Vehicle: r.Vehicle.v,
		NotBefore: domain.Day(r.NotBefore), Promise: domain.Day(r.Promise), CreatedAt: r.CreatedAt.UTC(),
		AcceptedQuoteID: orEmpty(r.AcceptedQuoteID), AuthorisedAmount: r.AuthorisedAmount.Decimal, Currency: r.Currency,
		ExchangeRate: r.ExchangeRate.Decimal, RateOn: domain.Day(r.RateOn),
		SheetID: orEmpty(r.SheetID), SheetVersion: r.SheetVersion,
		Finish: domain.Finish(r.Finish), Ways: waysOrNil(r.Ways.v), Weight: r.Weight}
}

// Jobs lists by number, highest first.
func (r *reader) Jobs(states []domain.JobState, clientID domain.ID, page app.Page) ([]domain.Job, string, error) {
	condition, args := "1 = 1", []any{}
	if len(states) > 0 {
		names := make([]string, len(states))
		for i, s := range states {
			names[i] = string(s)
		}
		of, arg := r.among("state", names)
		condition, args = condition+" AND "+of, append(args, arg)
	}
	if clientID != "" {
		condition, args = condition+" AND client_id = ?", append(args, clientID)
	}
	if page.After != "" {
		var number int
		if err := resume("jobs", page.After, &number); err != nil {
			return nil, "", err
		}
		condition, args = condition+" AND number < ?", append(args, number)
	}
	rows, err := list[jobRecord](r, "number DESC", size(page)+1, condition, args...)
	rows, next := cut(rows, page, func(l jobRecord) string { return position("jobs", l.Number) })
	return domains(rows), next, err
}

// Job returns one job.
func (r *reader) Job(id domain.ID) (domain.Job, error) {
	row, err := one[jobRecord](r, "job", "id = ?", id)
	return row.toDomain(), err
}

// AddJob stores a new job.
func (w *writer) AddJob(j domain.Job) error { return add(w, []jobRecord{w.jobToRecord(j)}) }

// SaveJob stores what changed about a job. Its number, currency and rate stay.
func (w *writer) SaveJob(j domain.Job) error {
	row := w.jobToRecord(j)
	return save(w, "job", &row, []string{"created_at", "number", "currency", "exchange_rate", "rate_on"}, "id = ?", j.ID)
}
