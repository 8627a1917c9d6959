package app

import (
	"context"
	"errors"
	"io"
	"slices"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/photo"
	"bareframe/internal/policy"
)

// PhotoStore keeps the bytes of photos under names that it draws itself. It is
// wired by the command line; photo.Folder is one.
type PhotoStore interface {
	Put(shop string, data []byte) (name string, err error)
	// Open returns what was kept. The caller closes it.
	Open(shop, name string) (io.ReadSeekCloser, error)
	Remove(shop, name string) error
	// Sweep removes what was kept before a moment and is not known.
	Sweep(before time.Time, known func(shop, name string) (bool, error)) (removed int, err error)
}

// mostPhotos bounds the photos of a job.
const mostPhotos = 2000

// AddPhoto reads one upload and keeps the picture made from it. Outside the
// transaction the upload is made safe and its bytes are kept; then comes the
// row. Bytes whose row fails, or whose request was answered before, are removed
// again; what a crash leaves is swept later.
func (a *App) AddPhoto(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, upload io.Reader) (domain.Photo, error) {
	if err := a.mayAddPhoto(ctx, actor, jobID, key); err != nil {
		return domain.Photo{}, err
	}
	in := &arriving{r: upload}
	made, err := photo.Sanitise(ctx, in, photo.Limits{})
	if in.err != nil {
		return domain.Photo{}, fault.New(fault.Invalid, "photo-broken-off", "The photo did not arrive whole; send it again.").Because(in.err)
	}
	if err != nil {
		return domain.Photo{}, err
	}
	p := domain.Photo{JobID: jobID, Hash: made.SHA256, Width: made.Width, Height: made.Height, Bytes: len(made.Picture)}
	request := p
	if p.Blob, err = a.photos.Put(actor.ShopID, made.Picture); err != nil {
		return domain.Photo{}, err
	}
	if p.Thumb, err = a.photos.Put(actor.ShopID, made.Thumbnail); err != nil {
		a.forget(actor.ShopID, p.Blob)
		return domain.Photo{}, err
	}
	kept, err := once(ctx, a, actor, "addPhoto", key, request, func(w *work) (domain.Photo, error) { return w.addPhoto(p) })
	if err != nil || kept.Blob != p.Blob {
		a.forget(actor.ShopID, p.Blob, p.Thumb)
	}
	return kept, err
}

// arriving remembers what broke an upload off, to tell it from a failure here.
type arriving struct {
	r   io.Reader
	err error
}

// Read reads on.
func (a *arriving) Read(p []byte) (int, error) {
	n, err := a.r.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		a.err = err
	}
	return n, err
}

// mayAddPhoto refuses before an upload is read what would be refused after it.
func (a *App) mayAddPhoto(ctx context.Context, actor domain.Actor, jobID domain.ID, key string) error {
	if a.photos == nil {
		return fault.New(fault.Unavailable, "photo-no-room", "This place keeps no photos.")
	}
	if key == "" {
		return fault.New(fault.Invalid, "idempotency-key-missing", "Send an Idempotency-Key, so that a retry is not done twice.")
	}
	return a.view(ctx, actor, "addPhoto", func(r Reader) error {
		_, err := r.Job(jobID)
		return err
	})
}

func (w *work) addPhoto(p domain.Photo) (domain.Photo, error) {
	job, err := w.onFrame(p.JobID)
	if err != nil {
		return p, err
	}
	all, err := w.Photos(job.ID)
	if err != nil {
		return p, err
	}
	if len(all) >= mostPhotos {
		return p, fault.New(fault.Conflict, "too-many-photos", "A job has at most %d photos.", mostPhotos)
	}
	p.ID, p.By, p.ByName, p.At = w.app.newID(), w.actor.PersonID, w.actor.Name, w.now
	if err := w.AddPhoto(p); err != nil {
		return p, err
	}
	return p, w.trail("photo "+p.ID, job.ID, nil, p)
}

// forget removes bytes that no row names. What cannot be removed is swept later.
func (a *App) forget(shop domain.ID, names ...string) {
	for _, name := range names {
		_ = a.photos.Remove(shop, name)
	}
}

// Picture is an open photo. Its reader must be closed.
type Picture struct {
	Photo domain.Photo
	Bytes io.ReadSeekCloser
}

// OpenPhoto opens a photo or its thumbnail. A client sees those of their own
// job that hang on an observation that stands or on a finding that was not
// dismissed.
func (a *App) OpenPhoto(ctx context.Context, actor domain.Actor, id domain.ID, thumb bool) (Picture, error) {
	var out Picture
	err := a.view(ctx, actor, "getPhoto", func(r Reader) (err error) {
		if out.Photo, err = r.Photo(id); err != nil {
			return err
		}
		if actor.Role == domain.Client {
			return clientMaySee(r, actor, out.Photo)
		}
		return nil
	})
	if err != nil {
		return Picture{}, err
	}
	if a.photos == nil {
		return Picture{}, photoNotFound()
	}
	name := out.Photo.Blob
	if thumb {
		name = out.Photo.Thumb
	}
	out.Bytes, err = a.photos.Open(actor.ShopID, name)
	return out, err
}

func photoNotFound() error {
	return fault.New(fault.NotFound, "photo-not-found", "There is no such photo.")
}

func clientMaySee(r Reader, actor domain.Actor, p domain.Photo) error {
	job, err := r.Job(p.JobID)
	if err != nil {
		return err
	}
	if policy.AllowOn(actor, "getPhoto", policy.Subject{JobID: job.ID, ClientID: job.ClientID}) != nil {
		return photoNotFound()
	}
	page, err := framePage(r, job.ID)
	if err != nil {
		return err
	}
	for _, o := range page.Observations {
		if o.VoidedAt == nil && slices.Contains(o.PhotoIDs, p.ID) {
			return nil
		}
	}
	for _, f := range page.Findings {
		if f.State != domain.FindingDismissed && slices.Contains(f.PhotoIDs, p.ID) {
			return nil
		}
	}
	return photoNotFound()
}

// sweepAfter is longer than any request between the bytes and their row.
const sweepAfter = time.Hour

// SweepPhotos removes bytes that no photo names, left by a crash. It returns
// how many files went.
func (a *App) SweepPhotos(ctx context.Context) (int, error) {
	if a.photos == nil {
		return 0, nil
	}
	return a.photos.Sweep(a.now().Add(-sweepAfter), func(shop, name string) (known bool, err error) {
		err = a.store.View(ctx, shop, func(r Reader) (err error) {
			known, err = r.PhotoKept(name)
			return err
		})
		return known, err
	})
}
