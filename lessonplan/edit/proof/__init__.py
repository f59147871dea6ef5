"""Proofing: the quantities and sequences in what was said or typed, compared with what holds where it was said."""
