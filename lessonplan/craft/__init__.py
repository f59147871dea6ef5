"""The arithmetic of the craft: notation, worked rounds, gauge, pace, yarn and the trade's tables."""
