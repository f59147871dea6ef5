"""The order of the shots within each day: orders to compare, what each costs, and the search for the cheapest."""
