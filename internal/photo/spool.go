package photo

import (
	"errors"
	"io"
	"os"

	"bareframe/internal/fault"
)

// spooled is an upload in a temporary file that nobody else can find by name
// where the system allows that.
type spooled struct {
	file *os.File
	name string // "" once it has no name any more
}

// spool copies an upload to a temporary file, at most limit bytes. Uploads come
// slowly, over bad networks; holding many in memory is what this avoids.
func spool(r io.Reader, limit int64) (*spooled, error) {
	f, err := os.CreateTemp("", "photo-*")
	if err != nil {
		return nil, noRoom(err)
	}
	s := &spooled{file: f, name: f.Name()}
	if os.Remove(s.name) == nil { // an open file can lose its name on Unix, so that a crash leaves nothing
		s.name = ""
	}
	if err := s.fill(r, limit); err != nil {
		s.close()
		return nil, err
	}
	return s, nil
}

func (s *spooled) fill(r io.Reader, limit int64) error {
	in := &readFaults{r: io.LimitReader(r, limit+1)}
	n, err := io.Copy(s.file, in)
	switch {
	case in.err != nil:
		return in.err
	case err != nil:
		return noRoom(err)
	case n > limit:
		return fault.New(fault.TooLarge, "photo-too-large", "The photograph is larger than %d MB. Send it in a smaller size.", limit>>20)
	}
	return nil
}

func (s *spooled) close() {
	_ = s.file.Close() // nothing in it is wanted any more
	if s.name != "" {
		_ = os.Remove(s.name)
	}
}

// readFaults remembers what its reader refused, to tell it from a full disk.
type readFaults struct {
	r   io.Reader
	err error
}

func (f *readFaults) Read(p []byte) (int, error) {
	n, err := f.r.Read(p)
	if err != nil && !errors.Is(err, io.EOF) {
		f.err = err
	}
	return n, err
}

func noRoom(cause error) error {
	return fault.New(fault.Unavailable, "photo-no-room", "The photograph could not be stored and was not kept. Try again in a moment.").Because(cause)
}
