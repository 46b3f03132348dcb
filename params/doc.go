// Package params is what may be asked for: the table of keys, the job file and its overrides, units, the tables of
// metals and alloys, and every problem that an input can have. It knows no geometry.
//
// Guarantees: a Job that Load or Parse returns has every required key, each value lies in its key's range, each alloy
// is known, and no two keys contradict each other as far as the keys alone can tell. Whether such a lock can exist is
// not judged here.
package params
