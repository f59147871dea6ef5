"""Episodes made of what was said or written to be said before: a script, captions of an earlier video."""
