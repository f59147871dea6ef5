"""Counts of stitches: which of those that hold is meant by what was said."""
