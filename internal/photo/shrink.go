package photo

import (
	"image"
	"image/draw"
)

// fit returns the size of a picture whose longer side has been brought down to
// longest, at least one pixel each way. A smaller picture stays as it is.
func fit(width, height, longest int) (int, int) {
	side := max(width, height)
	if side <= longest {
		return width, height
	}
	return max(1, (2*width*longest+side)/(2*side)), max(1, (2*height*longest+side)/(2*side))
}

// bandRows is how many rows are converted to RGBA at a time.
const bandRows = 16

// shrink returns the picture over white, its longer side at most longest, turned
// upright from an Exif orientation. Beside the result it holds a band of rows,
// never a second picture. Time is linear in the source's pixels.
func shrink(src image.Image, longest, turn int) *image.RGBA {
	b := src.Bounds()
	width, height := fit(b.Dx(), b.Dy(), longest)
	out := newTurned(width, height, turn)
	band := image.NewRGBA(image.Rect(0, 0, b.Dx(), bandRows))
	a := averager{sw: b.Dx(), sh: b.Dy(), dw: width, dh: height, emit: out.row,
		row: make([]uint32, 3*width), sum: make([]uint64, 3*width), room: b.Dy(), pixels: make([]byte, 3*width)}
	for y := 0; y < b.Dy(); y += bandRows {
		draw.Draw(band, band.Rect, image.White, image.Point{}, draw.Src)
		draw.Draw(band, band.Rect, src, b.Min.Add(image.Pt(0, y)), draw.Over)
		for k := range min(bandRows, b.Dy()-y) {
			a.add(band.Pix[k*band.Stride:][:4*b.Dx()])
		}
	}
	return out.img
}

// averager reduces rows of pixels. Lengths are counted in a unit in which a
// source pixel is dw wide and dh high and a target pixel sw wide and sh high,
// so that all shares are whole numbers.
type averager struct {
	sw, sh, dw, dh int
	row            []uint32 // one source row, reduced across
	sum            []uint64 // the target row so far
	room           int      // height that the target row still lacks
	y              int      // the target row
	pixels         []byte
	emit           func(y int, rgb []byte)
}

func (a *averager) add(rgba []byte) {
	a.across(rgba)
	part := min(a.room, a.dh)
	a.pile(uint64(part))
	if a.room -= part; a.room > 0 {
		return
	}
	a.finish()
	a.room = a.sh - (a.dh - part)
	a.pile(uint64(a.dh - part))
}

// across reduces one source row into a.row.
func (a *averager) across(rgba []byte) {
	whole, room, j := uint32(a.dw), uint32(a.sw), 0
	var r, g, b uint32
	for i := 0; i+3 < len(rgba); i += 4 {
		p := rgba[i : i+4 : i+4]
		pr, pg, pb := uint32(p[0]), uint32(p[1]), uint32(p[2])
		if room > whole {
			r, g, b = r+pr*whole, g+pg*whole, b+pb*whole
			room -= whole
			continue
		}
		q := a.row[j : j+3 : j+3]
		q[0], q[1], q[2] = r+pr*room, g+pg*room, b+pb*room
		j += 3
		over := whole - room
		r, g, b = pr*over, pg*over, pb*over
		room = uint32(a.sw) - over
	}
}

func (a *averager) pile(weight uint64) {
	if weight == 0 {
		return
	}
	for i, v := range a.row {
		a.sum[i] += uint64(v) * weight
	}
}

// finish rounds the target row, hands it out and begins the next.
func (a *averager) finish() {
	share := 1 / (float64(a.sw) * float64(a.sh))
	for i, v := range a.sum {
		a.pixels[i] = byte(float64(float64(v)*share) + 0.5)
	}
	clear(a.sum)
	a.emit(a.y, a.pixels)
	a.y++
}

// turned is a picture that is filled by the rows of the unturned one.
type turned struct {
	img           *image.RGBA
	width, height int // before turning
	turn          int
}

func newTurned(width, height, turn int) turned {
	t := turned{width: width, height: height, turn: turn}
	if turn >= 5 {
		width, height = height, width
	}
	t.img = image.NewRGBA(image.Rect(0, 0, width, height))
	return t
}

// place says where a pixel belongs. The orientation names the side on which row
// 0 and the side on which column 0 of the stored picture are seen (TIFF 6.0,
// tag 274): 6, for example, is row 0 right, column 0 top.
func (t turned) place(x, y int) (int, int) {
	right, bottom := t.width-1-x, t.height-1-y
	switch t.turn {
	case 2:
		return right, y
	case 3:
		return right, bottom
	case 4:
		return x, bottom
	case 5:
		return y, x
	case 6:
		return bottom, x
	case 7:
		return bottom, right
	case 8:
		return y, right
	}
	return x, y
}

func (t turned) row(y int, rgb []byte) {
	at := t.img.PixOffset(t.place(0, y))
	step := t.img.PixOffset(t.place(1, y)) - at
	for i := 0; i < len(rgb); i += 3 {
		p := t.img.Pix[at : at+4 : at+4]
		p[0], p[1], p[2], p[3] = rgb[i], rgb[i+1], rgb[i+2], 255
		at += step
	}
}
