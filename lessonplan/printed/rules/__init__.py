"""The rules of print as data, and the search that reads a line by them."""
