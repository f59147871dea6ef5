"""The files of a course as forms: what can be typed at each place, and what typing there does to the text."""
