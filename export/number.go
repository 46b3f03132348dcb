package export

import (
	"bytes"
	"encoding/json"
	"math"
	"strconv"
)

// Figures are rounded before they are written, so that the last bits of a float, which differ from machine to machine,
// stay out of the files.
const (
	toMM = 6 // decimals of lengths, mm
	toG  = 4 // decimals of masses and of volumes and areas
)

// figure is a number in a JSON document; what is no number becomes null.
type figure float64

// round keeps a number of decimals; minus zero becomes zero.
func round(v float64, decimals int) figure {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return figure(math.NaN())
	}
	p := math.Pow10(decimals)
	return figure(math.Round(v*p)/p + 0)
}

// nan is written as null.
var nan = figure(math.NaN())

func mm(v float64) figure   { return round(v, toMM) }
func gram(v float64) figure { return round(v, toG) }

// MarshalJSON writes the shortest decimal that reads back to the same float.
func (f figure) MarshalJSON() ([]byte, error) {
	v := float64(f)
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, v, 'f', -1, 64), nil
}

// entry is one member of an object whose members keep their order.
type entry struct {
	name  string
	value any
}

// object is a JSON object in a given order.
type object []entry

// MarshalJSON writes the members in their order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, e := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		for j, v := range []any{e.name, e.value} {
			if j > 0 {
				b.WriteByte(':')
			}
			text, err := json.Marshal(v)
			if err != nil {
				return nil, err
			}
			b.Write(text)
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// pretty is a document as it is written: indented, with a newline at its end, <, > and & left as they are.
func pretty(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
