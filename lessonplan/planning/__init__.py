"""The steps from a folder to a plan, as functions from values to values."""
