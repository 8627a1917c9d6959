package app

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/paper"
	"bareframe/internal/wording"
)

// mostNamed bounds each list of a drafted letter.
const mostNamed = 8

// draftLetter writes what happened since the last letter in plain sentences. It
// says hours, work, dates and decisions, and no figure that a client may not see.
func draftLetter(r Reader, p JobPage, sent []domain.Letter) (LetterDraft, error) {
	d := drafting{JobPage: p, zone: p.Shop.Zone()}
	if len(sent) > 0 { // newest first
		d.since = &sent[0].SentAt
	}
	entries, err := r.Entries([]domain.ID{p.Job.ID})
	if err != nil {
		return LetterDraft{}, err
	}
	open, err := d.decisions(r)
	if err != nil {
		return LetterDraft{}, err
	}
	values := paper.LetterValues(p.Shop, p.Job, p.Client, p.Ahead.Finish, p.AsOf)
	own := func(key domain.TextKey) string { return wording.Fill(p.Shop.Settings.Text(key), values) }
	parts := []string{own(domain.LetterOpening), d.worked(entries[p.Job.ID]), d.finished(entries[p.Job.ID]), d.next(), open, d.dates(), own(domain.LetterClosing)}
	text := strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "\n\n")
	return LetterDraft{Subject: shortened(oneLine(fmt.Sprintf("Your %s: how it stands on %s", p.Job.Vehicle.Label(), d.day(p.AsOf))), 160), Text: shortened(text, 8000)}, nil
}

// drafting is a letter while it is written.
type drafting struct {
	JobPage
	zone  *time.Location
	since *time.Time // of the last letter
}

func (d drafting) day(at time.Time) string { return at.In(d.zone).Format("2 January 2006") }

func (d drafting) after(at time.Time) bool { return d.since == nil || at.After(*d.since) }

// worked says the hours by phase, in the order of the phases.
func (d drafting) worked(entries []domain.Entry) string {
	phase := map[domain.ID]domain.ID{}
	for _, t := range d.Estimate.Tasks {
		phase[t.ID] = t.PhaseID
	}
	minutes, all := map[domain.ID]int{}, 0
	for _, e := range entries {
		if e.Counts() && e.Kind == domain.Worked && e.FinishedAt != nil && d.after(*e.FinishedAt) {
			minutes[phase[e.TaskID]] += e.Minutes()
			all += e.Minutes()
		}
	}
	from := "So far"
	if d.since != nil {
		from = "Since our letter of " + d.day(*d.since)
	}
	if all == 0 {
		return from + " no hours were worked on your car."
	}
	var parts []string
	for _, ph := range d.Estimate.Phases {
		if m := minutes[ph.ID]; m > 0 {
			parts = append(parts, fmt.Sprintf("%s %s", ph.Name, hoursText(m)))
		}
	}
	return fmt.Sprintf("%s we worked %s hours on your car: %s.", from, hoursText(all), strings.Join(parts, ", "))
}

func hoursText(minutes int) string {
	return decimal.NewFromInt(int64(minutes)).DivRound(sixty, 1).StringFixed(1)
}

// finished names the tasks that were finished since.
func (d drafting) finished(entries []domain.Entry) string {
	progress := domain.ProgressOf(entries)
	var names []string
	for _, t := range d.Estimate.Tasks {
		switch at := progress[t.ID].Finished; {
		case t.Kind == domain.Work && at != nil && d.after(*at):
			names = append(names, t.Name)
		case t.Kind != domain.Work && t.ReleasedAt != nil && d.after(*t.ReleasedAt):
			names = append(names, t.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Finished: " + listed(names) + "."
}

// listed joins names, which may hold commas themselves, and says how many more
// there are.
func listed(names []string) string {
	if more := len(names) - mostNamed; more > 0 {
		return strings.Join(names[:mostNamed], "; ") + fmt.Sprintf("; and %d more", more)
	}
	return strings.Join(names, "; ")
}

func (d drafting) next() string {
	if !d.Job.Workable() {
		return ""
	}
	var names []string
	for _, t := range d.ComingUp(3) {
		names = append(names, t.Name)
	}
	if len(names) == 0 {
		return ""
	}
	return "Next: " + listed(names) + "."
}

// decisions says what was found and what waits for the client.
func (d drafting) decisions(r Reader) (string, error) {
	var out []string
	all, err := r.Orders([]domain.ID{d.Job.ID})
	if err != nil {
		return "", err
	}
	orders := slices.Clone(all[d.Job.ID])
	slices.SortFunc(orders, func(a, b domain.ChangeOrder) int { return a.Number - b.Number })
	for _, o := range orders {
		if o.StateAt(d.AsOf) != domain.OrderSent {
			continue
		}
		until := ""
		if o.ExpiresAt != nil {
			until = " until " + d.day(o.ExpiresAt.Add(-time.Second))
		}
		out = append(out, fmt.Sprintf("Change order %d, %s, waits for your decision%s.", o.Number, o.Title, until))
	}
	findings, err := r.Findings(d.Job.ID)
	if err != nil {
		return "", err
	}
	if n := preparing(findings); n > 0 {
		out = append(out, fmt.Sprintf("We found %s that we are still working out for you.", plural(n, "thing")))
	}
	return strings.Join(out, " "), nil
}

// preparing counts what was found and has not been put before the client.
func preparing(findings []domain.Finding) int {
	n := 0
	for _, f := range findings {
		if f.State == domain.FindingReported || f.State == domain.FindingGathered {
			n++
		}
	}
	return n
}

// dates says promise and forecast. How sure they are is said as long as it is not
// computed.
func (d drafting) dates() string {
	finish := d.day(d.Ahead.Finish)
	switch {
	case len(d.Estimate.Tasks) == 0:
		return ""
	case d.Whole.State == TaskFinished:
		return fmt.Sprintf("All work was finished on %s.", finish)
	case d.Job.Promise.IsZero():
		return fmt.Sprintf("As it looks today the work is finished on %s. How sure that is is not yet computed.", finish)
	case d.Ahead.LateDays > 0:
		return fmt.Sprintf("We promised %s; as it looks today the work is finished on %s, %s later. How sure that is is not yet computed.",
			d.day(d.Job.Promise.Start(d.zone)), finish, plural(d.Ahead.LateDays, "working day"))
	}
	return fmt.Sprintf("We promised %s, and as it looks today that holds: the work is finished on %s. How sure that is is not yet computed.",
		d.day(d.Job.Promise.Start(d.zone)), finish)
}
