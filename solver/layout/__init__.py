"""Lays a network out as a person would on a board: battery left, current down, branches side by side, nothing crossing.

links: the network without its wires; tree: branches in series, side by side, hanging, and meshes; gathering: from the
links to the tree; room: what parts and their words take; boxes, ladders, meshes: how each branch is drawn; building:
from the tree to boxes; embedding, ordering, levels, columns, mesh_plan: the order of lines in a mesh, its rows and its
columns; pieces: a whole piece, its battery on the left; pen, board: from boxes to spots, joints and wires; drawing: all
of it side by side.
"""
