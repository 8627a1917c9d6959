package photo

import "image"

// scaleBar lays a bar of light and dark fields, a centimetre each, on the rail,
// with a shadow, as photographs of findings should have one: ten fields, or what
// a closer view has room for.
func (s *scene) scaleBar(img *image.RGBA) {
	high := s.m.Height / 26
	field := int(1 / (15 * s.unit))
	fields := min(10, max(1, 6*s.m.Width/(10*max(field, 1))))
	edge := min(s.m.Height, int((s.bottom-s.upper)/s.unit))
	left, top := s.m.Width/14, edge-3*high
	shade(img, image.Rect(left+4, top+5, left+fields*field+12, top+high+12), 0.55)
	fill(img, image.Rect(left, top, left+fields*field+6, top+high+6), rgb{232, 230, 222})
	for i := range fields {
		x := left + 3 + i*field
		if i%2 == 0 {
			fill(img, image.Rect(x, top+3, x+field, top+3+high/2), rgb{30, 30, 32})
		}
		for k := range 10 { // millimetres; the fifth is longer
			long := high / 5
			if k == 5 {
				long = high / 3
			}
			fill(img, image.Rect(x+k*field/10, top+3+high-long, x+k*field/10+1, top+3+high), rgb{30, 30, 32})
		}
	}
}

// fill paints a part of a picture a little unevenly, as printed card looks.
func fill(img *image.RGBA, part image.Rectangle, c rgb) {
	part = part.Intersect(img.Rect)
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			p, k := img.Pix[img.PixOffset(x, y):], 1-0.0001*float32(x)+0.02*float32((x*7+y*13)%5)/5
			p[0], p[1], p[2] = level(c.r*k), level(c.g*k), level(c.b*k)
		}
	}
}

// shade darkens a part of a picture.
func shade(img *image.RGBA, part image.Rectangle, k float32) {
	part = part.Intersect(img.Rect)
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			p := img.Pix[img.PixOffset(x, y):]
			p[0], p[1], p[2] = level(float32(p[0])*k), level(float32(p[1])*k), level(float32(p[2])*k)
		}
	}
}
