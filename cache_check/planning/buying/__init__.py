"""What to buy or move: the cheapest list, what a budget does, what a loss costs."""
