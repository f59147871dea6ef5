"""Lines in order: rows repeated, shaped and gone on with."""
