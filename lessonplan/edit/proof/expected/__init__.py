"""What holds in a segment: the numbers that may be said there, and what each of them is of."""
