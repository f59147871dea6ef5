"""The knitters' calendar: who knits which piece by when. It knows nothing of a course or of the choice of pieces."""
