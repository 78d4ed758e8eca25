"""The figures of a load chart are likely ones: against each other, their family, and bounds of policy."""

from __future__ import annotations

from cache_check.checks.kinds.chart_sane import check, load

__all__ = ["check", "load"]
