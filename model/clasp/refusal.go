package clasp

import "fmt"

// Refusal says that a lock cannot exist as asked for.
type Refusal struct {
	Key     string // the key to change
	Say     string // what stands in the way, with values
	Nearest string // the nearest that can be made
}

func (r *Refusal) Error() string {
	return fmt.Sprintf("%s: %s", r.Key, r.Say)
}

// Hint is the remedy.
func (r *Refusal) Hint() string { return r.Nearest }
