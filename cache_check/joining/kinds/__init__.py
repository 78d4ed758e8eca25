"""The kinds of assembly rule by theme; ``class ExtensionCount`` is the kind ``extension_count``."""
