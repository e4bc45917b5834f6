"""What stands on the ground: how much light a canopy lets through, and the usual stand types.

Leaf area, the dates of leaf and the share of wind that reaches the leaves differ more between
two woods of one type than the figures here can say; each figure tells where it comes from.
"""
