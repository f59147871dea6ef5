"""What only crochet has in print: where its stitches go, its moves, and its words put as the rules have them."""
