// Package psplib reads published scheduling instances, so that the search that
// plans a shop can be measured beside what others reached on the same ones.
//
// Two forms are read: ".sm", one project with renewable resources and one mode for
// each activity (R. Kolisch and A. Sprecher, "PSPLIB - A project scheduling
// problem library", European Journal of Operational Research 96 (1997)), and
// ".sch", the same with minimum and maximum time lags (C. Schwindt, ProGen/max).
// From a folder, with what lies under it, or from a gzipped tape archive.
//
// The first and the last activity of an instance are its start and its end: they
// take no time and nothing else. In ".sch" a lag counts from start to start.
//
// Left out: several modes and resources that are used up (".mm").
package psplib
