"""What print says beside the work, passed over whole: asides, and in crochet also advice."""
