"""One example that keeps each rule and one that breaks it, and what the program reports of each.

``stacks`` holds the rules about one strut, ``caches`` those about a whole cache, ``loads`` those
about one situation, ``audits`` those about a count.
"""

from __future__ import annotations

from rule_examples.audits import AUDITS
from rule_examples.caches import CACHES
from rule_examples.example import Example, reported
from rule_examples.loads import LOADS
from rule_examples.stacks import STACKS

EXAMPLES: dict[str, tuple[Example, Example]] = {**STACKS, **CACHES, **LOADS, **AUDITS}
"""By rule id: the example that keeps the rule and the one that breaks it."""

__all__ = ["EXAMPLES", "Example", "reported"]
