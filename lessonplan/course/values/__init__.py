"""The kinds of values that the files of a course hold, each read from text."""
