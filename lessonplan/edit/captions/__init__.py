"""Captions read, in every usual form: WebVTT, SubRip, and transcripts with times."""
