"""Values in, bytes out: pages, drawings, tables and the folder they are written to."""
