"""A row that was read made ready to be worked."""
