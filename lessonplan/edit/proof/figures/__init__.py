"""The numbers that were said, held against those that hold: which is meant, and what is wrong with it."""
