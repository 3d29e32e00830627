"""Polygons, folding, lettering, hidden-line views: exact geometry in mm."""
