"""Kinds of exercise, one file each: ``LEVEL`` and ``cards(ground, draw)``.  Nothing is registered by hand.

``cards`` yields cards without end or until the rig gives no more; every key in them comes from a verb.
"""
