"""One row on the needles, stitch by stitch."""
