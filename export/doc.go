// Package export turns a commission into files: meshes for the printer, a report for programs, pictures and a sheet
// for the bench. It computes nothing about the lock; every figure comes from package model. JSON names live here alone.
//
// Guaranteed: a job folder is written whole or not at all; the same commission gives the same bytes, whatever the
// clock, the number of cores or the place. Not guaranteed: that PNG files keep their bytes from one Go release to the
// next, since the compressor may change; their pixels do.
package export
