"""What the soil sees."""

from __future__ import annotations
