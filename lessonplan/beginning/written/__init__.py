"""What was written before, taken in: files read into text; a pattern, a script, captions made parts of a course."""
