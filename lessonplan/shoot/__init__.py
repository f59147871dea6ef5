"""The shoot: screen and floor time, the order of shots and the day's clock."""
