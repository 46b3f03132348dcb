// Package life is what years and accidents do to a lock: catch faces worn, a sloped catch that cams out, stress that stands in the closed
// leaf, metals that bind on their like, a blow on the tab. Hand calculations; it knows numbers only. mm, N, MPa, degrees, mJ (N mm), g.
package life
