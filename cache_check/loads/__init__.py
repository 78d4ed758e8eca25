"""What an assembly carries: one equation, one function, pure, on plain numbers.

Read ``conventions`` first (axes, signs, units, ranges, arguments), then by question: ``geometry`` (how long and steep),
``demand`` (what a load asks, and the trade's short cuts), ``restraint`` (straps of a base),
``triangle`` (strut, straps and vehicle together), ``chart`` and ``capacity`` (what a strut is rated for).
"""
