"""Reading a course folder: the typed model, where each value stands, and every problem found in it."""
