"""A printed instruction line read into steps, with the place of every word."""
