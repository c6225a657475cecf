// Package raster draws a scene of package figure as a picture of dots (PNG), with the open faces that the program carries and
// no other program. The same scene gives the same bytes.
package raster
