"""After the shoot: captions read, and what they tell of the host."""
