"""Numbers told of a change: what a round adds or takes, and by how much two of them differ."""
