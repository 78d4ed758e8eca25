"""How many struts stand at once from shared parts, with proof: ladder, profile, what binds."""
