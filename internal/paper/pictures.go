package paper

import (
	"bytes"
	"fmt"
	"image"
	"image/draw"
	"image/jpeg"
	"slices"

	xdraw "golang.org/x/image/draw"
)

// A row of pictures in pixels: three cells with a gap.
const (
	stripCells = 3
	cellWidth  = 420
	cellHeight = 315
	cellGap    = 24
	stripGood  = 82 // JPEG quality
)

// strip is a row of pictures, drawn as one image. Its pixels are made only when
// it is put into the PDF: a report has many.
type strip struct{ row []Picture }

// width in pixels, without what makes it wider than the others.
func (s strip) width() int { return len(s.row)*(cellWidth+cellGap) - cellGap }

// pictures lays out rows of pictures over their captions. What cannot be read
// leaves its cell empty and says so.
func pictures(all []Picture, width float64) []piece {
	var out []piece
	scale := width / (stripCells*(cellWidth+cellGap) - cellGap)
	for row := range slices.Chunk(all, stripCells) {
		p := piece{above: 2.5}
		for i, pic := range row {
			x, caption := float64(i*(cellWidth+cellGap))*scale, pic.Caption
			if _, err := jpeg.DecodeConfig(bytes.NewReader(pic.JPEG)); err != nil {
				caption += " (the picture cannot be read)"
				p.ink.rect(x, 0, cellWidth*scale, cellHeight*scale, thin, hiddenEdge)
			}
			y := cellHeight*scale + .8
			for _, l := range wrap([]Run{plain(caption)}, smallSize, cellWidth*scale) {
				p.ink.write(l, x, y+smallSize*pointMM*ascent, smallSize)
				y += lineHeight(smallSize)
			}
			p.height = max(p.height, y)
		}
		p.ink.strips = append(p.ink.strips, placedStrip{strip: strip{row}, height: cellHeight * scale})
		out = append(out, p)
	}
	return out
}

// fit draws a JPEG into a cell, whole and in the middle.
func fit(canvas draw.Image, left int, data []byte) error {
	pic, err := jpeg.Decode(bytes.NewReader(data))
	if err != nil {
		return fmt.Errorf("reading a picture: %w", err)
	}
	b := pic.Bounds()
	if b.Empty() {
		return fmt.Errorf("an empty picture")
	}
	w, h := cellWidth, b.Dy()*cellWidth/b.Dx()
	if h > cellHeight {
		w, h = max(1, b.Dx()*cellHeight/b.Dy()), cellHeight
	}
	at := image.Rect(0, 0, w, max(1, h)).Add(image.Pt(left+(cellWidth-w)/2, (cellHeight-h)/2))
	xdraw.ApproxBiLinear.Scale(canvas, at, pic, b, draw.Src, nil)
	return nil
}

// encode writes the row as a JPEG of a width in pixels, white on the right. The
// PDF library orders images by their width alone, so each gets a width of its
// own and the same document always the same bytes.
func (s strip) encode(width int) ([]byte, error) {
	canvas := image.NewRGBA(image.Rect(0, 0, width, cellHeight))
	draw.Draw(canvas, canvas.Bounds(), image.White, image.Point{}, draw.Src)
	for i, pic := range s.row {
		_ = fit(canvas, i*(cellWidth+cellGap), pic.JPEG) // its caption says that it cannot be read
	}
	var out bytes.Buffer
	err := jpeg.Encode(&out, canvas, &jpeg.Options{Quality: stripGood})
	return out.Bytes(), err
}
