"""What can be read at a word of a line."""
