"""The desk: a local page on which a course is made and kept in a browser. Its text files stay the truth."""
