"""Rules that need no arithmetic: each a small function from a course to its problems."""
