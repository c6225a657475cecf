package exchange

// index is a hash table from key hashes to small values. It takes about a third less memory than a map for a million
// keys, because it grows in steps of a quarter, a segment at a time, and so stays more than two thirds full.
type index[V any] struct {
	segments [256]segment[V]
}

type segment[V any] struct {
	slots []slot[V]
	used  int
}

type slot[V any] struct {
	key   hash // the zero hash marks a free slot
	value V
}

// fullest is the share of used slots, in eighths, beyond which a segment grows.
const fullest = 7

// get returns the value of a key, nil when it is not there. It is good until the next put.
func (x *index[V]) get(key hash) *V {
	s := &x.segments[key[0]>>56]
	if s.used == 0 {
		return nil
	}
	if at := s.find(key); s.slots[at].key == key {
		return &s.slots[at].value
	}
	return nil
}

// put sets the value of a key.
func (x *index[V]) put(key hash, value V) {
	s := &x.segments[key[0]>>56]
	if (s.used+1)*8 > len(s.slots)*fullest {
		s.grow()
	}
	at := s.find(key)
	if s.slots[at].key != key {
		s.used++
	}
	s.slots[at] = slot[V]{key, value}
}

// find returns the slot that holds the key or is free for it.
func (s *segment[V]) find(key hash) int {
	at := int(key[1] >> 32 * uint64(len(s.slots)) >> 32)
	for s.slots[at].key != key && s.slots[at].key != (hash{}) {
		if at++; at == len(s.slots) {
			at = 0
		}
	}
	return at
}

func (s *segment[V]) grow() {
	old := s.slots
	s.slots = make([]slot[V], max(4, len(old)+len(old)/4))
	for _, o := range old {
		if o.key != (hash{}) {
			s.slots[s.find(o.key)] = o
		}
	}
}
