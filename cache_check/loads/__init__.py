"""What an assembly carries: one equation, one function, pure, on plain numbers.

Read ``conventions`` first (axes, signs, units, ranges), then by question:

- ``geometry``     how long, how steep, how far out
- ``demand``       what a load asks of a strut; ``practice`` the trade's short cuts, labelled
- ``share``        how struts divide a load
- ``restraint``    what the straps of one base hold; ``sharing`` three straps and more
- ``pretension``   what tight straps do before any load; ``slip`` friction, shown and not counted
- ``triangle``     strut, straps and vehicle together
- ``column``       Euler, to judge a chart's shape
- ``chart``        the rated load at a length; ``rating`` design factor and governing link
"""
