// Package fit says how likely a cast lock can be filed to fit. It knows numbers only.
//
// A Stack is three lists that the caller hands in. A Surface carries stock and can be filed, or cannot. A Dimension lies
// between surfaces of one casting and comes out of the flask with an error. A Clearance is a sum of dimensions, each
// times a number, and must end between two limits. All of it is linear:
//
//	clearance as cast  = nominal - stock + errors of the dimensions - spread of the stock
//	clearance as filed = clearance as cast + what each surface loses, times its effect on this clearance
//
// What a surface loses is never negative: a file removes metal and cannot put it back. So a casting can be filed to fit
// when amounts from 0 to what each surface may lose bring every clearance between its limits. That is a linear programme,
// solved exactly for each sample; of all ways to fit the bench takes the one with the least effort.
//
// Linear says in closed form how far each clearance spreads; Run draws castings and files them. The same stack,
// number of samples and seed give the same bytes on any number of cores.
//
// What is not modelled: castings that are bent or skew, errors shared by all dimensions of one casting (a wrong growth),
// tabs and notches off the middle, and a leaf that is set by bending. Errors of different dimensions are independent.
//
// Lengths are mm. Filings of precious metal are fine dust: wear a mask for silica and metal dust, collect and refine it.
package fit
