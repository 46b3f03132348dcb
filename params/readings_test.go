package params

import (
	"strings"
	"testing"
)

var readNames = []string{"box.width", "box.length", "box.weight"}

func TestReadings(t *testing.T) {
	r, err := ParseReadings("r.csv", []byte("\ufeff# Date: 2026-06-01\r\npiece,dimension,reading\r\n1,box.width,12.63\r\n2, box.width , \"0.5 in\"\r\n# a remark, with commas\r\n1,box.length,\r\n1,box.weight,\"5 dwt\",cold,patternless\r\n"), readNames)
	if err != nil {
		t.Fatal(err)
	}
	if r.Date != "2026-06-01" || len(r.List) != 3 {
		t.Fatalf("%+v", r)
	}
	for i, want := range []Reading{{"r.csv", 3, "1", "box.width", 12.63, "12.63"}, {"r.csv", 4, "2", "box.width", 12.7, "0.5 in"}, {"r.csv", 7, "1", "box.weight", 7.7758692, "5 dwt"}} {
		if r.List[i] != want {
			t.Errorf("got %+v, want %+v", r.List[i], want)
		}
	}
}

func TestReadingsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"1,box.widht,12":                "r.csv:1: box.widht is not a dimension of this lock\nhint: the nearest is box.width; learn --names lists them",
		"1,collar,12":                   "collar is not a dimension of this lock\nhint: learn --names lists them",
		"1,box.width,\"12,6\"":          "has a decimal comma",
		"1,box.width,12.6 g":            "is a mass; a length is expected",
		"1,box.width,-3":                "box.width: -3 is not above 0 and at most 100 mm",
		"1,box.width,1263":              "is not above 0 and at most 100 mm",
		"1,box.width,nan":               "is not a number that can be measured",
		"1;box.width;12":                "holds no reading\nhint: write piece, dimension and reading",
		",box.width,12":                 "is of a piece whose name is empty",
		"1,box.width,12\n1,box.width,9": "r.csv:2: box.width: 9 is read twice of piece 1, first in line 1",
		"1,\"box.width,12":              "cannot be read as comma-separated values",
		"# date: in June\n":             "r.csv:1: date: in June is not a day",
	} {
		if _, err := ParseReadings("r.csv", []byte(text), readNames); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v\nwant %s", text, err, want)
		}
	}
}

// Whatever stands in the file, reading it never panics, and what is refused is refused in words.
func FuzzParseReadings(f *testing.F) {
	for _, s := range []string{"piece,dimension,reading\n1,box.width,12.6\n", "# date: 2026-01-01\n", "\"", "1,box.width,\xff", "a,b\n\n,,\n", "1,box.weight,1e99"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseReadings("r.csv", []byte(text), readNames)
		if err != nil {
			words(t, err)
			return
		}
		for _, one := range r.List {
			if !(one.Value > 0) || one.Line < 1 || one.Piece == "" {
				t.Errorf("%+v", one)
			}
		}
	})
}
