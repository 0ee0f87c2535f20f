// Package bed is the bottom of the harbor as a triangulated surface over its soundings.
package bed
