"""The course as the teacher wrote it, typed: a class for each group of keys, with what each key means."""
