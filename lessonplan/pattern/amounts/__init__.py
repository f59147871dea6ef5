"""How much it takes: yarn, other materials, minutes."""
