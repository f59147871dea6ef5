"""Take logs read and merged, planned against real, the learnt pace."""
