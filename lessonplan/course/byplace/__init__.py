"""A file of the course changed at one place and nowhere else: remarks, order, quotes and blank lines stay as they were.

A place is a path of keys and numbers of list items, ``("errata", 2, "state")``.
"""
