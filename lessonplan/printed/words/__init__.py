"""Print cut into words: what each means, in which language and terms."""
