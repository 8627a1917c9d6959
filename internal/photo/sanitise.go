package photo

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"runtime"
	"runtime/debug"
	"time"

	"bareframe/internal/fault"

	"golang.org/x/sync/semaphore"
)

// Limits are what Sanitise accepts and makes. A zero field stands for its
// default.
type Limits struct {
	Bytes     int64 // of the upload; 12 MiB
	Pixels    int64 // width times height of the upload; 40 million
	Side      int   // longer side of the upload; 12,000
	Memory    int64 // bytes that decoding may take; 96 MiB
	Longest   int   // longer side of the picture made; 2,560
	Thumbnail int   // longer side of the thumbnail made; 480
	Quality   int   // of the JPEGs made, 1 to 100; 85
}

// Photo is what is kept of an upload: two JPEGs without metadata.
type Photo struct {
	Picture   []byte
	Thumbnail []byte
	Width     int    // of Picture, upright
	Height    int    // of Picture, upright
	SHA256    string // of Picture, 64 lower-case hexadecimal digits
	// Taken is when the camera says that it was taken, in UTC; zero when it
	// does not say or leaves out its offset from UTC. It is a claim: anybody
	// can write it.
	Taken time.Time
}

// memoryForDecoding is shared by all calls in the process, so that many uploads
// at once wait for each other instead of adding up.
const memoryForDecoding = 96 << 20

var decoding = semaphore.NewWeighted(memoryForDecoding)

// largeDecode is the size from which memory is handed back at once: a picture's
// buffers are garbage of a size that the collector's usual pace would let pile up.
const largeDecode = 8 << 20

func (l Limits) withDefaults() Limits {
	return Limits{
		Bytes:     cmp.Or(l.Bytes, 12<<20),
		Pixels:    cmp.Or(l.Pixels, 40_000_000),
		Side:      cmp.Or(l.Side, 12_000),
		Memory:    min(cmp.Or(l.Memory, memoryForDecoding), memoryForDecoding),
		Longest:   cmp.Or(l.Longest, 2560),
		Thumbnail: cmp.Or(l.Thumbnail, 480),
		Quality:   cmp.Or(l.Quality, 85),
	}
}

// Sanitise reads one upload to its end and makes the picture and the thumbnail
// to keep. The upload waits in an unnamed temporary file, not in memory; ctx
// ends the wait for a turn at decoding.
//
// Refusals: photo-too-large, photo-type, photo-pixels, photo-broken;
// photo-no-room (unavailable) when the temporary file cannot be written or ctx
// ends first. What r itself refuses comes back as it is.
//
// Time is linear in the pixels of the upload; memory at most Limits.Memory plus
// 2 MiB, over all concurrent calls together.
func Sanitise(ctx context.Context, r io.Reader, limits Limits) (Photo, error) {
	limits = limits.withDefaults()
	upload, err := spool(r, limits.Bytes)
	if err != nil {
		return Photo{}, err
	}
	defer upload.close()
	return develop(ctx, upload.file, limits)
}

// develop does everything but fetching the upload.
func develop(ctx context.Context, upload io.ReadSeeker, limits Limits) (Photo, error) {
	h, err := inspect(upload)
	if err != nil {
		return Photo{}, err
	}
	if err := h.fits(limits); err != nil {
		return Photo{}, err
	}
	cost := min(h.cost(limits.Longest), memoryForDecoding)
	if err := decoding.Acquire(ctx, cost); err != nil {
		return Photo{}, fault.New(fault.Unavailable, "photo-no-room", "Too many photographs arrive at once; send this one again in a moment.").Because(err)
	}
	defer decoding.Release(cost)
	if cost > largeDecode {
		defer debug.FreeOSMemory()
	}
	picture, err := upright(upload, h, limits.Longest)
	if err != nil {
		return Photo{}, err
	}
	return twoSizes(picture, h, limits)
}

// upright decodes the upload and returns its pixels, smaller and turned. A large
// original is garbage when it returns; a photograph that has the right size and
// stands upright, as the frontend sends them, is not converted to RGBA and back.
func upright(upload io.ReadSeeker, h header, longest int) (image.Image, error) {
	img, err := decode(upload, h)
	if err != nil {
		return nil, err
	}
	if got := img.Bounds(); got.Dx() != h.width || got.Dy() != h.height {
		return nil, broken(fmt.Errorf("header says %d x %d, pixels are %v", h.width, h.height, got))
	}
	if h.decoder-h.kept > largeDecode {
		runtime.GC() // the coefficients of a progressive JPEG outweigh its pixels
	}
	if own, ok := img.(*image.YCbCr); ok && h.turn <= 1 && max(h.width, h.height) <= longest {
		return own, nil
	}
	return shrink(img, longest, h.turn), nil
}

// decode reads the pixels. A decoder that gives up on hostile input by a panic
// must not take the server with it.
func decode(upload io.ReadSeeker, h header) (img image.Image, err error) {
	defer func() {
		if p := recover(); p != nil {
			img, err = nil, broken(fmt.Errorf("decoder: %v", p))
		}
	}()
	if _, err := upload.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	img, err = h.kind.decode(bufio.NewReaderSize(upload, 64<<10))
	if err != nil {
		return nil, broken(err)
	}
	return img, nil
}

// twoSizes makes the JPEGs to keep.
func twoSizes(picture image.Image, h header, limits Limits) (Photo, error) {
	size := picture.Bounds()
	large, err := encode(picture, limits.Quality)
	if err != nil {
		return Photo{}, err
	}
	small := large
	if max(size.Dx(), size.Dy()) > limits.Thumbnail {
		if small, err = encode(shrink(picture, limits.Thumbnail, 1), limits.Quality); err != nil {
			return Photo{}, err
		}
	}
	sum := sha256.Sum256(large)
	return Photo{
		Picture: large, Thumbnail: small,
		Width: size.Dx(), Height: size.Dy(),
		SHA256: hex.EncodeToString(sum[:]), Taken: h.taken,
	}, nil
}

func encode(img image.Image, quality int) ([]byte, error) {
	var out bytes.Buffer
	if err := jpeg.Encode(&out, img, &jpeg.Options{Quality: quality}); err != nil {
		return nil, err
	}
	return bytes.Clone(out.Bytes()), nil // the buffer may be twice as large
}

func broken(cause error) error {
	return fault.New(fault.Invalid, "photo-broken", "The photograph cannot be read: the file is damaged or was cut off. Take or send it again.").Because(cause)
}
