"""The same pattern otherwise: with other choices, as a lesser piece, in another knitter’s gauge."""
