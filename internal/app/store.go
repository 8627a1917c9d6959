package app

import (
	"context"
	"time"

	"bareframe/internal/domain"
)

// Store keeps everything. It is implemented in package store for SQLite and
// PostgreSQL; one contract suite runs on both.
type Store interface {
	// Update runs fn in one writing transaction within one shop and commits when
	// fn returns nil. There is one writer per shop at a time, so what fn reads
	// holds until it commits. fn may be run again after a serialization failure.
	// The error is fn's own, or fault.Unavailable when the store is away, full
	// or read-only; then nothing was written.
	Update(ctx context.Context, shopID domain.ID, fn func(tx Tx) error) error
	// UpdateTogether is Update for short use cases that many people do at once:
	// where that saves waiting for the disk, several share one commit. Each is
	// still undone alone when it fails, and none returns before the commit that
	// holds it. fn may see what an earlier use case of the same commit wrote, so
	// it must not be one that moves a version which a cache goes by.
	UpdateTogether(ctx context.Context, shopID domain.ID, fn func(tx Tx) error) error
	// View runs fn on one consistent snapshot of a shop.
	View(ctx context.Context, shopID domain.ID, fn func(r Reader) error) error
	// CreateShop opens a shop and runs fn in the same transaction. When only is
	// set it fails with Conflict "set-up-done" if any shop exists.
	CreateShop(ctx context.Context, shop domain.Shop, only bool, fn func(tx Tx) error) error
	// Directory finds people and sessions before a shop is known.
	Directory
	// Ping reports whether the store answers.
	Ping(ctx context.Context) error
}

// Page asks for at most Limit rows after a position that an earlier page gave.
type Page struct {
	Limit int
	After string // opaque; empty for the first page
}

// Reader reads within one shop. What is not there fails with fault.NotFound.
// Lists come in the order stated and never nil.
type Reader interface {
	Shop() (domain.Shop, error)

	// People lists by name then ID; role "" means all. The string is the next
	// page's After, empty on the last.
	People(role domain.Role, page Page) ([]domain.Person, string, error)
	PeopleByID(ids []domain.ID) (map[domain.ID]domain.Person, error)
	Person(id domain.ID) (domain.Person, error)
	// Links lists a person's private links, newest first.
	Links(personID domain.ID) ([]domain.PrivateLink, error)
	Link(id domain.ID) (domain.PrivateLink, error)
	// Sessions lists a person's sessions that have not expired, newest first.
	Sessions(personID domain.ID, now time.Time) ([]domain.Session, error)

	// Templates lists the newest revision of each key by name, retired ones too.
	Templates() ([]domain.Template, error)
	Template(id domain.ID) (domain.Template, error)
	// TemplateRevisions lists the revisions of a key, newest first, with no more
	// of their plans than the key.
	TemplateRevisions(key string) ([]domain.Template, error)

	// Jobs lists by number, highest first. Empty states means all; clientID ""
	// means everybody's.
	Jobs(states []domain.JobState, clientID domain.ID, page Page) ([]domain.Job, string, error)
	Job(id domain.ID) (domain.Job, error)
	// Estimates loads the estimates of several jobs in a constant number of
	// queries, each sorted; a job without rows has an empty estimate.
	Estimates(jobIDs []domain.ID) (map[domain.ID]domain.Estimate, error)
	// JobOfTask returns the job that a task of the shop belongs to.
	JobOfTask(taskID domain.ID) (domain.ID, error)
	// JobNumbers and TaskNames give what a list of entries shows, removed tasks
	// included; an unknown ID has no row.
	JobNumbers(ids []domain.ID) (map[domain.ID]int, error)
	TaskNames(ids []domain.ID) (map[domain.ID]TaskName, error)
	Baselines(jobIDs []domain.ID) (map[domain.ID][]domain.Baseline, error)
	// Quotes lists the revisions of several jobs, newest first, without documents.
	Quotes(jobIDs []domain.ID) (map[domain.ID][]domain.Quote, error)
	Quote(id domain.ID) (domain.Quote, error)
	// Document returns the document of a quote by the quote's ID.
	Document(id domain.ID) (domain.Document, error)

	// Entries loads all entries of several jobs, oldest first, corrected ones too.
	Entries(jobIDs []domain.ID) (map[domain.ID][]domain.Entry, error)
	// TaskEntries loads all entries of one task, oldest first.
	TaskEntries(taskID domain.ID) ([]domain.Entry, error)
	// JobEntriesPage and PersonEntriesPage list newest logged first.
	JobEntriesPage(jobID domain.ID, page Page) ([]domain.Entry, string, error)
	PersonEntriesPage(personID domain.ID, page Page) ([]domain.Entry, string, error)
	Entry(id domain.ID) (domain.Entry, error)
	// RunningEntry returns the person's running entry; ok is false when none runs.
	RunningEntry(personID domain.ID) (entry domain.Entry, ok bool, err error)
	// EntriesAround lists the standing entries of a person that share time with
	// the span, running ones included.
	EntriesAround(personID domain.ID, from, to time.Time) ([]domain.Entry, error)

	OrderReader
	OptionReader
	FrameReader
	SheetReader

	// Trail lists newest first; jobID "" means the whole shop.
	Trail(jobID domain.ID, page Page) ([]domain.TrailEntry, string, error)
	// TrailFrom lists in order from a sequence number, at most limit rows.
	TrailFrom(seq int64, limit int) ([]domain.TrailEntry, error)

	MoneyReader
	LetterReader
	TakeoffReader
	FloorReader
	CalendarReader
}

// TaskName is how a task is called in a list.
type TaskName struct{ Code, Name string }

// Tx reads and writes within one shop. A write of a row that must be unique
// and is not fails with fault.Conflict.
type Tx interface {
	Reader

	// SaveShop stores settings, calendar and rules, and the version of the price
	// book but not its rows.
	SaveShop(shop domain.Shop) error
	// SetPrices stores dated rows of the price book, in the place of those with
	// the same key and day, and takes others out, which must be there.
	SetPrices(set []domain.PriceRow, removed []domain.PriceRef) error
	AddPerson(p domain.Person) error
	SavePerson(p domain.Person) error // Conflict "email-taken" when another person signs in with the address
	AddLink(l domain.PrivateLink) error
	SaveLink(l domain.PrivateLink) error
	AddSession(s domain.Session) error
	EndSession(id domain.ID) error
	// EndSessions ends a person's sessions except one; with linkID only those
	// that the link opened.
	EndSessions(personID, linkID, except domain.ID) error

	AddTemplate(t domain.Template) error // a revision; Conflict "template-revision-taken" when there is one of its number

	// NextJobNumber counts up within the shop.
	NextJobNumber() (int, error)
	AddJob(j domain.Job) error
	SaveJob(j domain.Job) error
	AddPhases(rows []domain.Phase) error
	AddTasks(rows []domain.Task) error
	AddTaskLinks(rows []domain.Link) error
	AddLines(rows []domain.Line) error
	SavePhase(p domain.Phase) error
	SaveTask(t domain.Task) error
	SaveTaskLink(l domain.Link) error
	SaveLine(l domain.Line) error
	// Remove takes rows out of the estimate. They stay stored, marked with the
	// instant, and no reader returns them.
	RemovePhase(id domain.ID, at time.Time) error
	RemoveTask(id domain.ID, at time.Time) error // with its links
	RemoveTaskLink(id domain.ID, at time.Time) error
	RemoveLine(id domain.ID, at time.Time) error
	// SetScope sets the scope of tasks and of lines of a job in two statements.
	SetScope(jobID domain.ID, taskIDs, lineIDs []domain.ID, scope domain.Scope) error

	AddQuote(q domain.Quote, doc domain.Document) error
	// SaveQuoteState saves state, decision and what was agreed; the rest of a
	// quote is immutable.
	SaveQuoteState(q domain.Quote) error
	ReplaceBaseline(jobID domain.ID, rows []domain.Baseline) error

	OrderWriter
	OptionWriter

	AddEntry(e domain.Entry) error
	// FinishEntry fills in what was open of a running entry: finish, hours to
	// go, done and note. It touches no entry that is finished.
	FinishEntry(e domain.Entry) error
	// MarkCorrected notes which entry took another's place. Conflict
	// "entry-corrected" when one already did.
	MarkCorrected(id, by domain.ID) error

	FrameWriter
	SheetWriter

	// AppendTrail gives the entry its place and hashes and stores it.
	AppendTrail(t domain.TrailEntry) error

	// Answer returns what an idempotency key was answered with; ok is false when
	// the key is new. The key is the actor's own.
	Answer(actorID domain.ID, key string) (answer Answer, ok bool, err error)
	KeepAnswer(actorID domain.ID, key string, a Answer) error

	MoneyWriter
	LetterWriter
	TakeoffWriter
	FloorWriter
	CalendarWriter
}

// Answer is what a retried write is answered with.
type Answer struct {
	Operation   string
	RequestHash string
	Body        []byte // the result as JSON
	At          time.Time
}

// Directory finds what must be found before anybody is signed in.
type Directory interface {
	// AnyShop reports whether a shop exists.
	AnyShop(ctx context.Context) (bool, error)
	// Shops lists all shops by creation, for the console.
	Shops(ctx context.Context) ([]domain.Shop, error)
	// PersonByEmail finds who signs in with an address (case-insensitive), with
	// their shop. NotFound when nobody with a password does.
	PersonByEmail(ctx context.Context, email string) (domain.Person, domain.ID, error)
	// LinkByHash finds a private link by the hash of its token.
	LinkByHash(ctx context.Context, hash string) (domain.PrivateLink, error)
	// CalendarLinkByHash finds a calendar link by the hash of its token, stopped or not.
	CalendarLinkByHash(ctx context.Context, hash string) (domain.CalendarLink, error)
	// TouchCalendarLink notes that a calendar link was read.
	TouchCalendarLink(ctx context.Context, shopID, id domain.ID, at time.Time) error
	// SessionByHash finds a session that has not expired, with its person. Every
	// request pays for it, so it brings nothing else along.
	SessionByHash(ctx context.Context, hash string, now time.Time) (domain.Session, domain.Person, error)
	// TouchSession notes that a session was seen.
	TouchSession(ctx context.Context, id domain.ID, at, expires time.Time) error
	// Prune forgets expired sessions and answers kept before an instant.
	Prune(ctx context.Context, now, answersBefore time.Time) error
}
