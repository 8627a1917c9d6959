package tabular

import (
	"archive/zip"
	"bytes"
	"io"
	"path"
	"strings"
)

// archive is a zip archive whose index has been held against the limits.
type archive struct {
	files  map[string]*zip.File // by lower-case name with forward slashes
	limits Limits
	left   int64 // bytes that may still be unpacked
}

// openArchive judges by the index alone; nothing is unpacked.
func openArchive(data []byte, limits Limits) (*archive, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged("its index cannot be read").Because(err)
	}
	if len(z.File) > limits.Entries {
		return nil, tooLarge("the workbook has more than %d parts", limits.Entries)
	}
	a := &archive{files: make(map[string]*zip.File, len(z.File)), limits: limits, left: limits.Unpacked}
	total := uint64(0)
	for _, f := range z.File {
		if err := a.fits(f, &total); err != nil {
			return nil, err
		}
		name := strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/"))
		if a.files[name] != nil {
			return nil, damaged("it holds the part %s twice", quoted(f.Name))
		}
		a.files[name] = f
	}
	return a, nil
}

// fits holds one entry against the limits. Adding up what all entries say also
// catches entries that share their packed bytes.
func (a *archive) fits(f *zip.File, total *uint64) error {
	if f.Flags&1 != 0 {
		return invalid("table-encrypted", "the workbook is protected by a password; open it and save it without one")
	}
	size, limit := f.UncompressedSize64, uint64(a.limits.Unpacked)
	if *total += min(size, limit+1); size > limit || *total > limit {
		return tooLarge("the workbook unpacks to more than %d MB", a.limits.Unpacked>>20)
	}
	if size > 1<<20 && size/uint64(a.limits.Ratio) > f.CompressedSize64 {
		return tooLarge("a part of the workbook unpacks to more than %d times its size", a.limits.Ratio)
	}
	return nil
}

// part opens a part; nil where there is none.
func (a *archive) part(name string) (io.ReadCloser, error) {
	f := a.files[strings.ToLower(name)]
	if f == nil {
		return nil, nil
	}
	r, err := f.Open()
	if err != nil {
		return nil, damaged("its part %s cannot be unpacked", quoted(name)).Because(err)
	}
	return &metered{ReadCloser: r, archive: a}, nil
}

// metered counts what is truly unpacked, whatever the index says.
type metered struct {
	io.ReadCloser
	archive *archive
}

func (m *metered) Read(p []byte) (int, error) {
	n, err := m.ReadCloser.Read(p)
	if m.archive.left -= int64(n); m.archive.left < 0 {
		return n, tooLarge("the workbook unpacks to more than %d MB", m.archive.limits.Unpacked>>20)
	}
	return n, err
}

// resolved is the name of the part that a relationship of another part points to.
func resolved(from, target string) string {
	target = strings.ReplaceAll(target, `\`, "/")
	if strings.HasPrefix(target, "/") {
		return strings.TrimPrefix(path.Clean(target), "/")
	}
	return strings.TrimPrefix(path.Join("/", path.Dir(from), target), "/")
}
