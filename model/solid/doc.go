// Package solid holds signed-distance solids: immutable trees of exact primitives under union, intersection and
// difference.
package solid
