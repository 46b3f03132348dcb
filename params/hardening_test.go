package params

import "testing"

// Each alloy finds its own row; every row says where it is from; no bake lies near the melting of a solder (hard and easy gold solders
// flow at 630 C and more, from memory).
func TestHardening(t *testing.T) {
	for id, class := range map[string]string{
		"au750-yellow": "yellow gold of 18 carat", "au750-rose": "red and rose gold of 18 carat", "au750-red": "red and rose gold of 18 carat",
		"au750-white-ni": "nickel white gold", "au750-white-pd": "", "au750-green": "", "au916-yellow": "gold of 22 carat and more",
		"au585-yellow": "gold of 14 carat with copper", "au585-green": "", "ag925": "sterling silver", "ag999": "", "pt950-ru": "platinum",
		"au375-yellow": "gold of 9 carat with copper",
	} {
		a, f := alloy(id)
		if f != nil {
			t.Errorf("%s: %s", id, f.say)
			continue
		}
		if h, ok := HardeningOf(a); h.Class != class || ok != (class != "") {
			t.Errorf("%s is %q, want %q", id, h.Class, class)
		}
	}
	for _, r := range hardenings() {
		if r.Class == "" || r.Harden == "" || r.Source == "" || r.Kind != Published && r.Kind != Memory && r.Kind != Practice {
			t.Errorf("incomplete row: %+v", r)
		}
		if r.Bake < 0 || r.Bake > 400 {
			t.Errorf("%s: baked at %g C", r.Class, r.Bake)
		}
	}
}
