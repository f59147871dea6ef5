"""Words of a pair said for one another: left and right, odd and even, thicker and thinner."""
