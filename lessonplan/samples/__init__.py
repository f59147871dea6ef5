"""Step samples: the states of a piece, the exact choice of pieces, and who knits them by when."""
