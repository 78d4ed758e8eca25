"""How many struts stand at once from shared parts, with proof: tally, profile, what binds."""
