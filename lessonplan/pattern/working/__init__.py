"""The stages worked, one after another and for one size: a bench for each, a function for each kind of work."""
