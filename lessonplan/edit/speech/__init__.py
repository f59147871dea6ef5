"""What is said, read: numbers, quantities with their craft units, and what a speaker takes back."""
