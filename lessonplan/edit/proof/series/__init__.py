"""Numbers that are told one after the other: lists by size, and counts that shrink or grow."""
