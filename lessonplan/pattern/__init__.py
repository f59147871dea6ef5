"""The stages of a pattern worked in every size, and what follows from them: facts, outlines, yarn, minutes."""
