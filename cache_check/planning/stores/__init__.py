"""Stores with too many assemblies to list: plans by prices over blocks, and a bound that is proven."""
