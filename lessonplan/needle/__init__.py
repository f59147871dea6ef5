"""Printed lines worked on the needles: stitches, markers, readings, several lines in order."""
