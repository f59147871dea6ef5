"""What was said laid beside what was planned: where each segment of an episode begins in the captions of its video."""
