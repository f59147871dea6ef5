"""Texts over the picture: what they say, when they come, and how long they must stay to be read."""
