"""One line worked in all its readings, and which of them stands."""
