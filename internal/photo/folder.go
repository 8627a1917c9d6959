package photo

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"regexp"
	"strings"
	"time"

	"bareframe/internal/fault"
)

// Keeper keeps blobs under names that it draws itself. Folder is one; object
// storage can be another: nothing here needs directories, renaming or a listing
// in order.
type Keeper interface {
	// Put keeps data for a shop and returns its name once it would survive a
	// power cut.
	Put(shop string, data []byte) (name string, err error)
	// Open returns what was kept. The caller closes it.
	Open(shop, name string) (io.ReadSeekCloser, error)
	// Remove forgets a blob. One that is not there is not an error.
	Remove(shop, name string) error
	// Each calls visit for every blob until it returns an error.
	Each(visit func(Kept) error) error
}

// Kept is a blob as Each finds it.
type Kept struct {
	Shop, Name string
	Size       int64
	Since      time.Time
}

// Folder keeps blobs as files in one directory: a directory a shop, in it one
// for the first two digits of the name. It is safe for concurrent use, also by
// several processes.
type Folder struct{ root *os.Root }

var _ Keeper = (*Folder)(nil)

// The only shapes that reach the file system: a shop is a UUID in lower-case
// text, a name 128 bits in hexadecimal.
var (
	shopShape = regexp.MustCompile(`^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}\z`)
	nameShape = regexp.MustCompile(`^[0-9a-f]{32}\z`)
)

// unfinished ends the name of a file that is being written.
const unfinished = ".part"

// OpenFolder opens a directory, and makes it when it is not there. Nothing
// outside it can be reached through the Folder, by links neither.
func OpenFolder(dir string) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return &Folder{root: root}, nil
}

// Close lets go of the directory.
func (f *Folder) Close() error { return f.root.Close() }

// place returns where a blob lies, or the refusal of a name that is not ours.
func place(shop, name string) (string, error) {
	if !shopShape.MatchString(shop) || !nameShape.MatchString(name) {
		return "", notFound()
	}
	return path.Join(shop, name[:2], name), nil
}

func notFound() *fault.Error {
	return fault.New(fault.NotFound, "photo-not-found", "There is no such photograph.")
}

// Put writes data beside its place, waits for the disk, moves it into place and
// waits again, so that what it acknowledges survives a crash and what it does
// not is never seen in part. A full or read-only disk is photo-no-room.
func (f *Folder) Put(shop string, data []byte) (string, error) {
	var lot [16]byte
	_, _ = rand.Read(lot[:]) // never fails
	name := hex.EncodeToString(lot[:])
	at, err := place(shop, name)
	if err != nil {
		return "", err
	}
	if err := f.write(at, data); err != nil {
		return "", noRoom(err)
	}
	return name, nil
}

func (f *Folder) write(at string, data []byte) (err error) {
	dir := path.Dir(at)
	if err := f.makeDirs(dir); err != nil {
		return err
	}
	part := at + unfinished
	file, err := f.root.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_ = f.root.Remove(part) // else Sweep does it
		}
	}()
	_, err = file.Write(data)
	if err == nil {
		err = file.Sync()
	}
	if err = errors.Join(err, file.Close()); err != nil {
		return err
	}
	if err := f.root.Rename(part, at); err != nil {
		return err
	}
	return f.syncDir(dir)
}

// makeDirs makes what is missing of a path. The parent of a new directory is
// waited for too, else a crash could take the directory with all in it.
func (f *Folder) makeDirs(dir string) error {
	parent := path.Dir(dir)
	if parent != "." {
		if err := f.makeDirs(parent); err != nil {
			return err
		}
	}
	err := f.root.Mkdir(dir, 0o700)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return f.syncDir(parent)
}

func (f *Folder) syncDir(dir string) error {
	d, err := f.root.Open(dir)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, errors.ErrUnsupported) {
		err = nil // some systems order directory writes themselves
	}
	return errors.Join(err, d.Close())
}

// Open returns what was kept; photo-not-found for all else, also for what is no
// ordinary file.
func (f *Folder) Open(shop, name string) (io.ReadSeekCloser, error) {
	at, err := place(shop, name)
	if err != nil {
		return nil, err
	}
	info, err := f.root.Lstat(at)
	if errors.Is(err, fs.ErrNotExist) || err == nil && !info.Mode().IsRegular() {
		return nil, notFound()
	}
	if err != nil {
		return nil, err
	}
	file, err := f.root.Open(at)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, notFound()
	}
	return file, err
}

// Remove forgets a blob.
func (f *Folder) Remove(shop, name string) error {
	at, err := place(shop, name)
	if err != nil {
		return err
	}
	if err := f.root.Remove(at); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// Each visits the blobs in the order of their places. Files that are not ours
// are passed over. Blobs that come or go meanwhile may or may not be visited.
func (f *Folder) Each(visit func(Kept) error) error {
	return f.files(func(at string, info fs.FileInfo) error {
		shop, name := path.Dir(path.Dir(at)), path.Base(at)
		if ours, err := place(shop, name); err != nil || ours != at {
			return nil
		}
		return visit(Kept{Shop: shop, Name: name, Size: info.Size(), Since: info.ModTime()})
	})
}

// files visits all ordinary files, those in the making too.
func (f *Folder) files(visit func(at string, info fs.FileInfo) error) error {
	return fs.WalkDir(f.root.FS(), ".", func(at string, d fs.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() {
			var info fs.FileInfo
			if info, err = d.Info(); err == nil {
				return visit(at, info)
			}
		}
		if errors.Is(err, fs.ErrNotExist) {
			return nil // gone since it was listed
		}
		return err
	})
}

// Sweep removes orphans kept before a moment: those of which known says false,
// and writes that a crash left unfinished. The moment must lie further back than
// the longest transaction between Put and the record that names the blob. It
// returns how many it removed.
func (f *Folder) Sweep(before time.Time, known func(shop, name string) (bool, error)) (int, error) {
	removed := 0
	err := f.files(func(at string, info fs.FileInfo) error {
		if !info.ModTime().Before(before) {
			return nil
		}
		shop, name := path.Dir(path.Dir(at)), strings.TrimSuffix(path.Base(at), unfinished)
		ours, err := place(shop, name)
		if err != nil || at != ours && at != ours+unfinished {
			return nil
		}
		if at == ours {
			if is, err := known(shop, name); is || err != nil {
				return err
			}
		}
		if err := f.root.Remove(at); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		removed++
		return nil
	})
	return removed, err
}
