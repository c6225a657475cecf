package exchange

import "hash/maphash"

// hash stands for a key. With 127 bits, the chance that any two of a million keys fall together is about 3e-27.
type hash [2]uint64

// hasher turns the parts of a key into a hash; its seeds are new in every run, so no file can be made to collide.
type hasher struct {
	seeds [2]maphash.Seed
	buf   []byte
}

func newHasher() hasher {
	return hasher{seeds: [2]maphash.Seed{maphash.MakeSeed(), maphash.MakeSeed()}}
}

// of hashes the parts, which hold no NUL.
func (h *hasher) of(parts ...string) hash {
	h.buf = h.buf[:0]
	for _, p := range parts {
		h.buf = append(append(h.buf, p...), 0)
	}
	return hash{maphash.Bytes(h.seeds[0], h.buf), maphash.Bytes(h.seeds[1], h.buf) | 1} // never zero
}

// where is the line of a row that has been met, negative when the row was refused.
type where int32

func (w where) line() int {
	if w < 0 {
		return int(-w)
	}
	return int(w)
}

func at(line int, refused bool) where {
	if refused {
		return where(-line)
	}
	return where(line)
}

// sampleSeen is what must be remembered of a sample row.
type sampleSeen struct {
	at     where
	course int32 // position in the reader's courses, −1 for none
	burnt  int32 // line of its first weighing, or minus the line of its result; 0 for neither
}
