"""One view for each document: what stands on it, already rounded and worded."""
