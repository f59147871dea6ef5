"""What was written before, taken in: files read into text; a pattern made part of a course."""
