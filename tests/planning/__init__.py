"""Who gets what: packings, ready sets and lists to buy, by hand and by small oracles."""
