"""A first course of one's own: a few answers in, a whole course folder out that can be checked and built at once."""
