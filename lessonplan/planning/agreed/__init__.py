"""What is agreed with the knitters: written down, kept to, and how quickly they really are."""
