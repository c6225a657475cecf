package app

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"math"
	"reflect"
	"slices"
	"time"

	"underfoot/calibrate"
)

// digest tells values apart by all that is in them, to the last bit of every number.
type digest [sha256.Size]byte

// digestOf reads through values: numbers, words, dates, lists, maps and what is made of them, fields that are not exported too.
// It fails at what holds no value to read, such as a function.
func digestOf(values ...any) (digest, error) {
	d := digester{hash: sha256.New()}
	for _, v := range values {
		if err := d.take(reflect.ValueOf(v)); err != nil {
			return digest{}, err
		}
	}
	return digest(d.hash.Sum(nil)), nil
}

// digester gathers bytes before it hands them on.
type digester struct {
	hash hash.Hash
	room [8]byte
}

func (d *digester) number(x uint64) {
	binary.LittleEndian.PutUint64(d.room[:], x)
	d.hash.Write(d.room[:])
}

func (d *digester) take(v reflect.Value) error {
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			d.number(1)
		} else {
			d.number(0)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		d.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		d.number(v.Uint())
	case reflect.Float32, reflect.Float64:
		d.number(math.Float64bits(v.Float()))
	case reflect.String:
		d.number(uint64(v.Len()))
		d.hash.Write([]byte(v.String()))
	case reflect.Slice, reflect.Array:
		return d.list(v)
	case reflect.Map:
		return d.pairs(v)
	case reflect.Pointer, reflect.Interface, reflect.Func:
		if v.IsNil() {
			d.number(0)
			return nil
		}
		if v.Kind() == reflect.Func {
			return fmt.Errorf("%s is a function, which cannot be told apart from others", v.Type())
		}
		d.number(1)
		return d.take(v.Elem())
	case reflect.Struct:
		return d.fields(v)
	case reflect.Invalid:
		d.number(0)
	default:
		return fmt.Errorf("%s holds no value to be told apart by", v.Type())
	}
	return nil
}

func (d *digester) list(v reflect.Value) error {
	d.number(uint64(v.Len()))
	for i := range v.Len() {
		if err := d.take(v.Index(i)); err != nil {
			return err
		}
	}
	return nil
}

// pairs takes a map in the order of its keys, which are words.
func (d *digester) pairs(v reflect.Value) error {
	if v.Type().Key().Kind() != reflect.String {
		return fmt.Errorf("%s: only maps by words can be told apart", v.Type())
	}
	d.number(uint64(v.Len()))
	keys := v.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int {
		switch {
		case a.String() < b.String():
			return -1
		case a.String() > b.String():
			return 1
		}
		return 0
	})
	for _, k := range keys {
		if err := d.take(k); err != nil {
			return err
		}
		if err := d.take(v.MapIndex(k)); err != nil {
			return err
		}
	}
	return nil
}

func (d *digester) fields(v reflect.Value) error {
	if v.Type() == reflect.TypeFor[time.Time]() {
		if !v.CanInterface() {
			return fmt.Errorf("a moment that cannot be read")
		}
		at := v.Interface().(time.Time)
		d.number(uint64(at.Unix()))
		d.number(uint64(at.Nanosecond()))
		return nil
	}
	for i := range v.NumField() {
		if err := d.take(v.Field(i)); err != nil {
			return fmt.Errorf("%s: %w", v.Type().Field(i).Name, err)
		}
	}
	return nil
}

// scatterTops are the depths [mm] a prior's scatter of composites is compared at, for it is a function.
func scatterTops(yield func(top float64) bool) {
	for top := 0.0; top <= 200; top += 10 {
		if !yield(top) {
			return
		}
	}
}

// priorDigest tells priors apart.
func priorDigest(p calibrate.Prior) (digest, error) {
	var scatter []calibrate.Spread
	for top := range scatterTops {
		scatter = append(scatter, p.Composite(top))
	}
	p.Composite = nil
	return digestOf(scatter, p)
}
