package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/jobfile"
	"bareframe/internal/policy"
)

// JobFilePreview is what a job file holds and what it would become here.
type JobFilePreview struct {
	Content  jobfile.Content
	Skills   []MappedKey
	Stations []MappedKey
	// UnknownPrices counts the lines whose row of the price book is not in this
	// shop's; they keep their price and forget the row.
	UnknownPrices int
	// AddsTemplate says that the job's repair list comes with it, in a template.
	AddsTemplate bool
	// Total and Finish are as this shop prices and schedules it, once every skill
	// and station is its own; there before.
	Total  *decimal.Decimal
	Finish domain.Day
}

// MappedKey is a skill or station of a file, and which of the shop's it becomes.
type MappedKey struct {
	Key, Name string
	Uses      int  // by tasks and repairs
	Known     bool // the shop has this key itself
	Settled   bool // known or mapped
	Becomes   string
}

// PreviewJobFile reads a job file, tells what it holds, and names what must be
// mapped to the shop's own. Nothing is written.
func (a *App) PreviewJobFile(ctx context.Context, actor domain.Actor, file io.Reader) (out JobFilePreview, err error) {
	request, _, err := readJobFile(actor, "previewJobFile", file)
	if err != nil {
		return out, err
	}
	err = a.view(ctx, actor, "previewJobFile", func(r Reader) error {
		b, err := a.beginImport(r, request)
		if err != nil {
			return err
		}
		out = JobFilePreview{Content: request.File.Content, Skills: b.skills, Stations: b.stations}
		if err := b.mapped(false); err != nil {
			return err
		}
		if !b.settled() {
			return nil
		}
		page, err := b.tried()
		if err != nil {
			return err
		}
		total := page.Price.Totals.GrandTotal.Decimal()
		out.Total, out.UnknownPrices, out.AddsTemplate = &total, b.unknownPrices, b.newTemplate != nil
		if len(page.Estimate.Tasks) > 0 {
			out.Finish = domain.DayOf(page.Plan.Finish, b.shop.Zone())
		}
		return nil
	})
	return out, err
}

// ImportJob reads a job file and makes a job of it: all of it, or nothing when one
// thing is wrong. The job is surveyed where something was seen on its frame, else
// an enquiry; labour is priced at this shop's rates, lines at the file's prices.
func (a *App) ImportJob(ctx context.Context, actor domain.Actor, key string, file io.Reader) (JobPage, error) {
	request, sum, err := readJobFile(actor, "importJob", file)
	if err != nil {
		return JobPage{}, err
	}
	id, err := once(ctx, a, actor, "importJob", key, sum, func(w *work) (domain.ID, error) { return w.importJob(request) })
	if err != nil {
		return JobPage{}, err
	}
	return a.JobPage(ctx, actor, id)
}

// readJobFile reads the file outside the transaction, for those who may. The sum
// is of the bytes, by which a retry is told from another request.
func readJobFile(actor domain.Actor, action policy.Action, file io.Reader) (request jobfile.Request, sum string, err error) {
	if err := policy.Allow(actor, action); err != nil {
		return request, "", err
	}
	raw, err := io.ReadAll(io.LimitReader(file, jobfile.MaxBytes+1))
	if err != nil {
		return request, "", fault.New(fault.Invalid, "upload-broken", "The file did not arrive whole; send it again.").Because(err)
	}
	if request, err = jobfile.Read(raw); err != nil {
		return request, "", err
	}
	digest := sha256.Sum256(raw)
	return request, hex.EncodeToString(digest[:]), nil
}

func (w *work) importJob(request jobfile.Request) (domain.ID, error) {
	b, err := w.app.beginImport(w, request)
	if err != nil {
		return "", err
	}
	client, err := clientFor(w, request.ClientID)
	if err := errors.Join(err, b.mapped(true)); err != nil {
		return "", joined(err)
	}
	page, err := b.tried()
	if err != nil {
		return "", err
	}
	number, err := w.NextJobNumber()
	if err != nil {
		return "", err
	}
	job := page.Job
	job.ID, job.Version, job.Number, job.State, job.ClientID, job.CreatedAt = w.app.newID(), 1, number, domain.Enquiry, client.ID, w.now
	if len(b.seen) > 0 {
		job.State = domain.Surveyed
	}
	if job.SheetID, job.SheetVersion, err = w.onlySheet(); err != nil {
		return "", err
	}
	if b.newTemplate != nil {
		b.newTemplate.ID, b.newTemplate.SavedBy = w.app.newID(), w.actor.Name
		job.TemplateID = b.newTemplate.ID
		if err := w.AddTemplate(*b.newTemplate); err != nil {
			return "", err
		}
	}
	if err := w.AddJob(job); err != nil {
		return "", err
	}
	if err := w.addImported(b, job); err != nil {
		return "", err
	}
	w.tell(job, "job")
	source := request.File.Content.Source
	return job.ID, w.trail("job "+job.ID, job.ID, nil, map[string]any{"job": job, "from": source.Shop, "from_job": source.JobNumber, "file": request.File.SHA256})
}

// joined keeps the fields of several refusals in one.
func joined(err error) error {
	var all fault.Collector
	parts, ok := err.(interface{ Unwrap() []error }) //nolint:errorlint // of errors.Join, which this is
	if !ok {
		return err
	}
	if len(parts.Unwrap()) == 1 {
		return parts.Unwrap()[0]
	}
	for _, part := range parts.Unwrap() {
		e := fault.As(part)
		if e == nil || e.Kind != fault.Invalid {
			return part
		}
		for _, f := range e.Fields {
			all.Add(f.Pointer, "%s", f.Detail)
		}
	}
	return all.Err("job-file-unmapped")
}

// addImported writes frame and estimate under fresh IDs.
func (w *work) addImported(b *importing, job domain.Job) error {
	zones := map[string]domain.ID{}
	for i := range b.zones {
		zones[b.zones[i].ID] = w.app.newID()
		b.zones[i].ID, b.zones[i].JobID = zones[b.zones[i].ID], job.ID
	}
	if err := w.AddZones(b.zones); err != nil {
		return err
	}
	if err := w.addEstimate(renewed(b.e, job.ID, w.app.newID)); err != nil {
		return err
	}
	for _, o := range b.seen {
		o.ID, o.JobID, o.ZoneID, o.By = w.app.newID(), job.ID, zones[o.ZoneID], w.actor.PersonID
		o.ByName = clipped(fmt.Sprintf("Job file of %s, read by %s", b.content.Source.Shop, w.actor.Name), 160)
		if err := w.AddObservation(o); err != nil {
			return err
		}
	}
	return nil
}

func clientFor(r Reader, id domain.ID) (domain.Person, error) {
	client, err := r.Person(id)
	if fault.KindOf(err) == fault.NotFound || err == nil && (client.Role != domain.Client || !client.Active) {
		return client, fault.InvalidField("client-not-found", "/client_id", "Choose whose car it is: the shop has no such client.")
	}
	return client, err
}
