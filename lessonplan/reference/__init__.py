"""Every key of the course files, told of from the typed model: as a list, as a page, and as JSON Schema."""
