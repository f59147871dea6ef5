"""What was filmed: takes and captions that the course keeps, what is learnt from them, what is filmed again."""
