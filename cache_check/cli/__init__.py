"""The door: one file per command in ``commands``, found by listing that folder."""
