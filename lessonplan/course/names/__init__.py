"""How the files of a course name states, choices, shots, tools and places, and what is meant by each name."""
