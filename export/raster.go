package export

import (
	"image"
	"image/color"
	"math"
	"runtime"
	"sync"
)

const (
	fine  = 3  // samples along each side of a pixel
	band  = 48 // rows of pixels painted at a time, which bounds the memory
	pitch = 8  // between hatching lines, pixels
)

// behind is how far an edge may lie behind the surface seen there and still be drawn, mm: an edge lies in its facets,
// and their depth at the centre of a sample is a little before or behind it.
const behind = 0.03

// raster paints a scene, band by band, by a depth buffer of samples finer than the pixels.
type raster struct {
	wide  int // samples in a row
	depth []float32
	owner []int32 // facet + 1
	ink   []bool
}

// render paints a scene into a picture; where there is nothing the picture stays as it was.
func render(img *image.RGBA, s scene) {
	scaled := s.magnified(fine)
	workers := runtime.GOMAXPROCS(0)
	var done sync.WaitGroup
	for k := range workers {
		done.Go(func() {
			r := newRaster(img.Bounds().Dx() * fine)
			for top := k * band; top < img.Bounds().Dy(); top += workers * band {
				r.paint(img, scaled, top)
			}
		})
	}
	done.Wait()
}

func newRaster(wide int) *raster {
	n := wide * band * fine
	return &raster{wide: wide, depth: make([]float32, n), owner: make([]int32, n), ink: make([]bool, n)}
}

// paint does one band, from the row top on. Bands share nothing, so that the order in which they are done is no matter.
func (r *raster) paint(img *image.RGBA, s scene, top int) {
	r.clear()
	for i, f := range s.facets {
		r.fill(f.at, int32(i)+1, top*fine)
	}
	for _, l := range s.strokes {
		r.draw(l, top*fine)
	}
	r.resolve(img, s.facets, top)
}

func (s scene) magnified(by float64) scene {
	grow := func(c corner) corner { return corner{c.x * by, c.y * by, c.z} }
	out := scene{make([]facet, len(s.facets)), make([]stroke, len(s.strokes))}
	for i, f := range s.facets {
		out.facets[i] = facet{[3]corner{grow(f.at[0]), grow(f.at[1]), grow(f.at[2])}, f.look}
	}
	for i, l := range s.strokes {
		out.strokes[i] = stroke{grow(l.a), grow(l.b)}
	}
	return out
}

func (r *raster) clear() {
	far := float32(math.Inf(1))
	for i := range r.depth {
		r.depth[i] = far
	}
	clear(r.owner)
	clear(r.ink)
}

// fill paints one facet, row by row, where it is nearest.
func (r *raster) fill(t [3]corner, id int32, top int) {
	y0 := math.Min(t[0].y, math.Min(t[1].y, t[2].y))
	y1 := math.Max(t[0].y, math.Max(t[1].y, t[2].y))
	first := max(int(math.Ceil(y0-0.5)), top)
	last := min(int(math.Floor(y1-0.5)), top+band*fine-1)
	if first > last {
		return
	}
	area := (t[1].x-t[0].x)*(t[2].y-t[0].y) - (t[2].x-t[0].x)*(t[1].y-t[0].y)
	if area == 0 {
		return
	}
	zx := ((t[1].z-t[0].z)*(t[2].y-t[0].y) - (t[2].z-t[0].z)*(t[1].y-t[0].y)) / area
	zy := ((t[1].x-t[0].x)*(t[2].z-t[0].z) - (t[2].x-t[0].x)*(t[1].z-t[0].z)) / area
	for y := first; y <= last; y++ {
		yc := float64(y) + 0.5
		x0, x1 := span(t, yc)
		z := t[0].z + zy*(yc-t[0].y)
		row := (y - top) * r.wide
		for x := max(int(math.Ceil(x0-0.5)), 0); x <= min(int(math.Floor(x1-0.5)), r.wide-1); x++ {
			if d := float32(z + zx*(float64(x)+0.5-t[0].x)); d < r.depth[row+x] {
				r.depth[row+x], r.owner[row+x] = d, id
			}
		}
	}
}

// span is where a row cuts a facet.
func span(t [3]corner, y float64) (x0, x1 float64) {
	x0, x1 = math.Inf(1), math.Inf(-1)
	for k := range 3 {
		a, b := t[k], t[(k+1)%3]
		if (a.y <= y) == (b.y <= y) {
			continue
		}
		x := a.x + (y-a.y)/(b.y-a.y)*(b.x-a.x)
		x0, x1 = math.Min(x0, x), math.Max(x1, x)
	}
	return x0, x1
}

// draw inks an edge where it is not hidden.
func (r *raster) draw(l stroke, top int) {
	const reach = 2.0
	if math.Max(l.a.y, l.b.y) < float64(top)-reach || math.Min(l.a.y, l.b.y) > float64(top+band*fine)+reach {
		return
	}
	steps := int(math.Ceil(math.Max(math.Abs(l.b.x-l.a.x), math.Abs(l.b.y-l.a.y)))) + 1
	for i := range steps + 1 {
		u := float64(i) / float64(steps)
		x, y := l.a.x+u*(l.b.x-l.a.x), l.a.y+u*(l.b.y-l.a.y)
		if r.seen(int(x), int(y)-top, l.a.z+u*(l.b.z-l.a.z)-behind) {
			r.dot(int(x), int(y)-top)
		}
	}
}

// seen says whether a depth is not hidden at a sample or one beside it; outside the band it is taken as hidden only if
// its neighbours inside are.
func (r *raster) seen(x, y int, z float64) bool {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			px, py := x+dx, y+dy
			if px < 0 || px >= r.wide || py < 0 || py >= band*fine {
				continue
			}
			if float64(r.depth[py*r.wide+px]) >= z {
				return true
			}
		}
	}
	return false
}

// dot inks a spot three samples wide, about one pixel.
func (r *raster) dot(x, y int) {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			px, py := x+dx, y+dy
			if px >= 0 && px < r.wide && py >= 0 && py < band*fine {
				r.ink[py*r.wide+px] = true
			}
		}
	}
}

// resolve averages the samples of each pixel.
func (r *raster) resolve(img *image.RGBA, facets []facet, top int) {
	b := img.Bounds()
	for y := top; y < min(top+band, b.Dy()); y++ {
		for x := range b.Dx() {
			r.pixel(img, facets, x, y, (y-top)*fine*r.wide+x*fine)
		}
	}
}

func (r *raster) pixel(img *image.RGBA, facets []facet, x, y, at int) {
	if r.blank(at) {
		return
	}
	under := img.RGBAAt(x, y)
	var sum [3]int
	for dy := range fine {
		for dx := range fine {
			i := at + dy*r.wide + dx
			c := under
			switch {
			case r.ink[i]:
				c = ink
			case r.owner[i] > 0:
				c = facets[r.owner[i]-1].look.at(x*fine+dx, y*fine+dy)
			}
			sum[0], sum[1], sum[2] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B)
		}
	}
	const n = fine * fine
	img.SetRGBA(x, y, color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255})
}

// blank says whether nothing was painted in a pixel, as in most of a picture.
func (r *raster) blank(at int) bool {
	for dy := range fine {
		for i := at + dy*r.wide; i < at+dy*r.wide+fine; i++ {
			if r.ink[i] || r.owner[i] > 0 {
				return false
			}
		}
	}
	return true
}

// at is the colour of a look at a sample: the fill, or a line of the hatching.
func (l look) at(x, y int) color.RGBA {
	const every = pitch * fine
	if l.slant != 0 && ((x+l.slant*y)%every+every)%every < fine {
		return l.hatch
	}
	return l.fill
}
