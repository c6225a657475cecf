package exchange

import "underfoot"

// layers finds samples of one round, green and position whose layers overlap in part. The same layer twice is a
// repeat, not an overlap.
type layers struct {
	first  index[int32] // of each group, position of its latest layer plus one
	chunks [][]layerSeen
	n      int32
}

// layerSeen holds depths as float32: rounding keeps their order, and overlaps thinner than a thousandth of a
// millimetre are nobody's business.
type layerSeen struct {
	top, bottom float32
	line        int32
	before      int32 // position plus one of the layer met before in the group, 0 for none
}

const layerChunk = 8192

func (l *layers) get(i int32) *layerSeen { return &l.chunks[i/layerChunk][i%layerChunk] }

// mostLayers is how many different layers one round may have in one place, far beyond what a corer reaches. Common
// practice, no source.
const mostLayers = 500

// add remembers a layer and returns the first met of its group that it overlaps in part, nil when there is none.
// An overlapping layer is not kept, nor is a repeat, nor one of a group that is full with mostLayers.
func (l *layers) add(group hash, top, bottom float64, line int) (other *layerSeen, full bool) {
	a, b := float32(top), float32(bottom)
	n, again, head := 0, false, int32(0)
	if p := l.first.get(group); p != nil {
		head = *p
	}
	for i := head; i > 0; n++ {
		s := l.get(i - 1)
		if s.top == a && s.bottom == b {
			again = true
		} else if s.top < b && a < s.bottom {
			other = s
		}
		i = s.before
	}
	switch {
	case again, other != nil:
		return other, false
	case n >= mostLayers:
		return nil, true
	}
	if l.n%layerChunk == 0 {
		l.chunks = append(l.chunks, make([]layerSeen, layerChunk))
	}
	*l.get(l.n) = layerSeen{a, b, int32(line), head}
	l.n++
	l.first.put(group, l.n)
	return nil, false
}

// rounds watches how far apart the dates under one label of a course lie.
type rounds struct {
	spans map[hash]*span
	wide  []*span // those beyond roundDays, in order of discovery
}

type span struct {
	first, last   underfoot.Date
	course, label string // of a wide one
	line          int    // where it became wide
}

// roundDays is how far apart the dates of one round may lie before we ask whether the label is right. Common
// practice, no source.
const roundDays = 60

func (rs *rounds) add(id hash, s *underfoot.Sample, line int) {
	sp := rs.spans[id]
	if sp == nil {
		rs.spans[id] = &span{first: s.Date, last: s.Date}
		return
	}
	sp.first, sp.last = min(sp.first, s.Date), max(sp.last, s.Date)
	if sp.line == 0 && sp.last-sp.first > roundDays {
		sp.course, sp.label, sp.line = s.Course, s.Round, line
		rs.wide = append(rs.wide, sp)
	}
}
